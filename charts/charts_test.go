package charts

import (
	"fmt"
	"image/color"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// paper records what is drawn on it. Every letter is half as wide as its size.
type paper struct {
	fills   []shape
	strokes []shape
	texts   []written
	depth   int
}

type shape struct {
	path   []Segment
	colour color.RGBA
	dashes []float64
}

type written struct {
	x, y, width float64
	text        string
}

func (p *paper) Save()    { p.depth++ }
func (p *paper) Restore() { p.depth-- }

func (p *paper) Transform(_, _, _, _, _, _ float64) {}

func (p *paper) Stroke(path []Segment, line Line) {
	p.strokes = append(p.strokes, shape{path, line.Colour, line.Dashes})
}

func (p *paper) Fill(path []Segment, colour color.RGBA) {
	p.fills = append(p.fills, shape{path, colour, nil})
}

func (p *paper) Text(x, y float64, f Font, _ color.RGBA, text string) {
	p.texts = append(p.texts, written{x, y, p.Width(f, text), text})
}

func (p *paper) Width(f Font, text string) float64 { return f.Size / 2 * float64(len([]rune(text))) }

// written is all labels, one a line.
func (p *paper) labels() string {
	var lines []string
	for _, t := range p.texts {
		lines = append(lines, t.text)
	}
	return strings.Join(lines, "\n")
}

// bounds is the box around everything that was drawn.
func (p *paper) bounds() (left, bottom, right, top float64) {
	left, bottom, right, top = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	add := func(x, y float64) {
		left, right = math.Min(left, x), math.Max(right, x)
		bottom, top = math.Min(bottom, y), math.Max(top, y)
	}
	for _, s := range append(append([]shape{}, p.fills...), p.strokes...) {
		for _, segment := range s.path {
			switch segment.Kind {
			case MoveTo, LineTo:
				add(segment.Points[0].X, segment.Points[0].Y)
			case CurveTo:
				add(segment.Points[2].X, segment.Points[2].Y)
			}
		}
	}
	for _, t := range p.texts {
		add(t.x, t.y)
		add(t.x+t.width, t.y)
	}
	return left, bottom, right, top
}

const width, height = 493.0, 246.0

var band = Range{30e6, 200e6}

func wave(n int, base float64) []Point {
	points := make([]Point, n)
	for i := range points {
		f := band.From * math.Pow(band.To/band.From, float64(i)/float64(n-1))
		points[i] = Point{f, base * (1 + 0.05*math.Sin(float64(i)))}
	}
	return points
}

func flat(level float64) [][]Point { return [][]Point{{{band.From, level}, {band.To, level}}} }

// drawings are the figures, each as it is drawn of a day.
func drawings() map[string]func(Surface, float64, float64) error {
	runs := []Series{{"H1", wave(120, 208)}, {"H2", wave(15, 205)}}
	return map[string]func(Surface, float64, float64) error{
		"field": Field{Frequencies: band, Limit: flat(200), Lowest: flat(195), Highest: flat(230), Runs: runs,
			Unmet: []Point{{41.2e6, 190}, {50e6, math.NaN()}}, NotShown: []Point{{60e6, math.NaN()}}, Accepted: []Point{{70e6, 198}},
			Earlier: []Point{{80e6, 180}}, Holes: []Range{{90e6, 95e6}}}.Draw,
		"margin": Margin{Frequencies: band, Axis: Range{0.1, 0.9}, Runs: []Series{{"H1", wave(120, 0.5)}, {"H2", wave(15, 0.6)}}, Limit: 1, Lowest: -1.1,
			Uncertainty: 1.1, Failed: []Failure{{Point{41.2e6, -0.574}, Met}, {Point{41.3e6, -2.5}, NotMet}, {Point{50e6, math.NaN()}, NotMet}},
			Thresholds: []Labelled{{Point{199e6, -3}, "142 V/m"}}, Holes: []Range{{90e6, 95e6}}, Accepted: []Range{{100e6, 103e6}}}.Draw,
		"setup":                   Setup{Width: 1.2, Distance: 1, Height: 0.3, Positions: 1}.Draw,
		"setup, wide":             Setup{Width: 9, Distance: 1, Height: 1.4, Positions: 3}.Draw,
		"setup, without probe":    Setup{Width: 0.4, Distance: 3, Height: math.NaN(), Positions: 1}.Draw,
		"margin, nothing met":     Margin{Frequencies: band, Axis: Range{math.Inf(1), math.Inf(-1)}, Uncertainty: math.NaN()}.Draw,
		"margin, endless":         Margin{Frequencies: band, Axis: Range{0, math.Inf(1)}, Uncertainty: math.Inf(1), Runs: []Series{{"H1", []Point{{40e6, math.Inf(1)}}}}}.Draw,
		"field, nothing measured": Field{Frequencies: band, Limit: flat(200)}.Draw,
		"field, over decades":     Field{Frequencies: band, Limit: [][]Point{{{30e6, 2}, {200e6, 200}}}, Runs: runs}.Draw,
		"power":                   Power{Frequencies: band, Forward: runs, Reflected: []Series{{"H1", wave(120, 12)}, {"H2", nil}}, Rated: 2500}.Draw,
		"power, without rating":   Power{Frequencies: band, Forward: runs, Reflected: []Series{{"H1", []Point{{40e6, 0}}}}, Rated: math.NaN()}.Draw,
		"mismatch":                Mismatch{Frequencies: band, Runs: []Series{{"H1", wave(120, 2)}}, Limit: 4}.Draw,
		"mismatch, very high":     Mismatch{Frequencies: band, Runs: []Series{{"H1", wave(120, 90)}}, Limit: math.NaN()}.Draw,
		"dwell":                   Dwell{Frequencies: band, Runs: []Series{{"H1", append(wave(20, 3), Point{199e6, 0})}}, Required: 3}.Draw,
		"transfer":                Transfer{Frequencies: band, Runs: runs}.Draw,
		"time line": func(s Surface, width, _ float64) error {
			return Timeline{From: 8.1, To: 17.4, Rows: []TimelineRow{{"H1", [][2]float64{{8.2, 9.9}, {10.3, 10.3}}}, {"V1", [][2]float64{{11, 17.3}}}},
				Marks: []TimelineMark{{8.1, "1", false}, {10.2, "2", true}, {10.21, "event", false}, {17.4, "3", false}, {17.4, "4", true}}}.Draw(s, width, 60)
		},
		"time line of a minute": func(s Surface, width, _ float64) error {
			return Timeline{From: 9, To: 9.02, Rows: []TimelineRow{{"H1", nil}}}.Draw(s, width, 60)
		},
		"limit": Limit{Frequencies: band, Levels: []Series{{"horizontal", flat(200)[0]}, {"vertical", flat(100)[0]}}}.Draw,
	}
}

func TestFiguresStayWithinTheirArea(t *testing.T) {
	for name, draw := range drawings() {
		t.Run(name, func(t *testing.T) {
			p := &paper{}
			require.NoError(t, draw(p, width, height))
			left, bottom, right, top := p.bounds()
			assert.GreaterOrEqual(t, left, -0.01)
			assert.GreaterOrEqual(t, bottom, -0.01)
			assert.LessOrEqual(t, right, width+0.01)
			assert.LessOrEqual(t, top, height+0.01)
			assert.Zero(t, p.depth, "every saved state is restored")
		})
	}
}

func TestLabelsAreClearOfEachOther(t *testing.T) {
	for name, draw := range drawings() {
		t.Run(name, func(t *testing.T) {
			p := &paper{}
			require.NoError(t, draw(p, width, height))
			for i, a := range p.texts {
				for _, b := range p.texts[i+1:] {
					apart := a.x+a.width <= b.x || b.x+b.width <= a.x || math.Abs(a.y-b.y) >= labelSize-1.5
					assert.True(t, apart, "%q stands on %q", a.text, b.text)
				}
			}
		})
	}
}

func TestAxesThatCannotBeDrawnAreErrors(t *testing.T) {
	for name, r := range map[string]Range{"zero": {0, 1e6}, "reversed": {2e6, 1e6}, "empty": {1e6, 1e6}, "not a number": {math.NaN(), 1e6}, "endless": {1e6, math.Inf(1)}} {
		assert.Error(t, Field{Frequencies: r}.Draw(&paper{}, width, height), name)
		assert.Error(t, Strip{Frequencies: r}.Draw(&paper{}, width, 90), name)
	}
}

func TestFieldMarksEveryStepThatIsNotMet(t *testing.T) {
	var unmet []Point
	for i := range 30 {
		unmet = append(unmet, Point{band.From * math.Pow(1.05, float64(i)), 190})
	}
	marks := func(unmet []Point) int {
		p := &paper{}
		require.NoError(t, Field{Frequencies: band, Limit: flat(200), Unmet: unmet}.Draw(p, width, height))
		count := 0
		for _, s := range p.fills {
			if s.colour == Paper && len(s.path) == 5 { // the empty square of the mark
				count++
			}
		}
		return count
	}
	assert.Equal(t, 4, marks(unmet[:3]), "three steps and the legend")
	assert.Equal(t, 31, marks(unmet))
}

func TestFieldSaysWhatItShows(t *testing.T) {
	p := &paper{}
	require.NoError(t, drawings()["field"](p, width, height))
	for _, label := range []string{"Sustained field, V/m", "H1", "H2", "limit", "lowest acceptable level", "tolerance band", "upper tolerance", "step not met",
		"step not shown", "deviation accepted", "failed visit, repeated", "hole: not shown", "30 MHz", "100 MHz", "200 MHz"} {
		assert.Contains(t, p.labels()+"\n", label+"\n")
	}
}

func TestFieldDoesNotPressTheDataForTheUpperTolerance(t *testing.T) {
	p := &paper{}
	require.NoError(t, Field{Frequencies: band, Limit: flat(200), Highest: flat(400), Runs: []Series{{"H1", wave(50, 208)}}}.Draw(p, width, height))
	assert.Contains(t, p.labels(), "upper tolerance (above this figure)")
	assert.NotContains(t, p.labels(), "\n400")
}

func TestRunsDifferWithoutColour(t *testing.T) {
	seen := map[string]bool{}
	for i := range looks {
		key := fmt.Sprint(lookOf(i).dashes, lookOf(i).symbol)
		assert.False(t, seen[key], "run %d looks like another one", i)
		seen[key] = true
	}
}

func TestCurvesAreCutWhereNothingWasMeasured(t *testing.T) {
	points := []Point{{1, 1}, {2, 2}, {2, math.NaN()}, {3, 3}, {4, 0}, {5, 5}}
	assert.Equal(t, [][]Point{points[:2], points[3:]}, parts(points, false))
	assert.Equal(t, [][]Point{points[:2], points[3:4], points[5:]}, parts(points, true), "no logarithm of zero")
}
