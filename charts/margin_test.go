package charts

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestMarginKeepsFailuresOutOfItsAxis(t *testing.T) {
	var p paper
	m := Margin{Frequencies: band, Axis: Range{0.1, 0.9}, Runs: []Series{{"H1", append(wave(30, 0.5), Point{199e6, -40})}}, Uncertainty: math.NaN(),
		Failed: []Failure{{Point{41.2e6, -40.126}, NotMet}, {Point{60e6, math.NaN()}, NotMet}}}
	require.NoError(t, m.Draw(&p, width, height))
	assert.Contains(t, p.labels(), "−40.13", "each failure has its value")
	assert.Contains(t, p.labels(), "–", "also the one that held no level")
	assert.NotContains(t, p.labels(), "−40\n", "the axis does not reach down to it")
	assert.Contains(t, p.labels(), "1.0")
}

// Values in the lane never meet: each stands in the first row with room, and what
// has none is counted.
func TestLane(t *testing.T) {
	m := Margin{Frequencies: band}
	for range 5 {
		m.Failed = append(m.Failed, Failure{Point: Point{50e6, -1.25}})
	}
	m.Failed = append(m.Failed, Failure{Point: Point{150e6, -1.25}})
	l := m.lane(&paper{}, width)
	var rows []int
	for _, mark := range l.marks {
		rows = append(rows, mark.row)
	}
	assert.Equal(t, []int{0, 1, 2, -1, -1, 0}, rows)
	assert.Equal(t, 2, l.bare)
	assert.Zero(t, (&lane{}).height(), "without failures there is no lane")
}

func TestSetupIsDrawnWithItsDimensions(t *testing.T) {
	var p paper
	require.NoError(t, Setup{Width: 3.4, Distance: 1.05, Height: 0.3, Positions: 2}.Draw(&p, width, 150))
	for _, text := range []string{"3.4 m", "1.05 m", "0.3 m", "1", "2", "test setup boundary"} {
		assert.Contains(t, p.labels(), text)
	}
	assert.Error(t, Setup{Width: math.NaN(), Distance: 1}.Draw(&p, width, 150))
	assert.Error(t, Setup{Width: 1, Distance: 0}.Draw(&p, width, 150))
}

func TestBandOfUncertaintyIsCutAtTheAxis(t *testing.T) {
	var p paper
	require.NoError(t, Margin{Frequencies: band, Axis: Range{0.1, 0.9}, Uncertainty: 50}.Draw(&p, width, height))
	for _, fill := range p.fills {
		for _, segment := range fill.path {
			if segment.Kind == MoveTo || segment.Kind == LineTo {
				assert.LessOrEqual(t, segment.Points[0].Y, height)
				assert.GreaterOrEqual(t, segment.Points[0].Y, 0.0)
			}
		}
	}
}
