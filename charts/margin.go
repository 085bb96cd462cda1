package charts

import (
	"math"
	"sort"
)

// Margin is how far the sustained field lies over the acceptance level at each
// step, in dB: the main figure of a result. 0 dB is the acceptance level, which
// has limit, tolerance and guard band in it. Its axis is set by what is met;
// what failed stands in a lane of its own below, each with its value, so that one
// lost visit does not press a thousand good ones together.
type Margin struct {
	Frequencies Range
	Axis        Range // of the margins that are met, so that figures of one report compare; From > To where there are none
	Runs        []Series
	Limit       float64 // the limit itself over the acceptance level
	Lowest      float64 // the lowest acceptable level over the acceptance level: below it by the guard band
	Uncertainty float64 // U, drawn around Lowest; NaN where it is not known
	Failed      []Failure
	Thresholds  []Labelled // of events
	Holes       []Range
	Accepted    []Range // holes that a deviation accepts
}

// Failure is a visit that failed, or a step that is not met.
type Failure struct {
	Point
	State Proof // of its step: Met where the visit was repeated and met
}

// Labelled is a point with the words beside it.
type Labelled struct {
	Point
	Label string
}

const (
	laneRow  = 9.5 // height of one row of values in the lane
	laneRows = 3   // rows of values at most; more would take the figure's place
	laneHead = 12  // the row of marks
)

// Draw draws the figure, width by height points.
func (m Margin) Draw(s Surface, width, height float64) error {
	lane := m.lane(s, width)
	frame, err := newFrame(s, width, height, axes{
		frequencies: m.Frequencies, vertical: m.scale(), title: "Margin over the acceptance level, dB", legend: m.legend(), below: lane.height(),
	}, m.background)
	if err != nil {
		return err
	}
	if err := frame.level(0, limitLine); err != nil {
		return err
	}
	for _, level := range []struct {
		at    float64
		style Line
	}{{m.Limit, highestLine}, {m.Lowest, lowestLine}} {
		if level.at != 0 && level.at > frame.plot.Y.Min && level.at < frame.plot.Y.Max {
			if err := frame.level(level.at, level.style); err != nil {
				return err
			}
		}
	}
	for i, run := range m.Runs {
		if err := frame.run(i, within(run.Points, frame.plot.Y.Min, frame.plot.Y.Max)); err != nil {
			return err
		}
	}
	for _, t := range m.Thresholds {
		frame.threshold(t)
	}
	lane.draw(frame)
	return nil
}

// within cuts a curve where it leaves the axis: what lies below stands in the lane.
func within(points []Point, low, high float64) []Point {
	kept := make([]Point, len(points))
	for i, p := range points {
		if p.Y < low || p.Y > high {
			p.Y = math.NaN()
		}
		kept[i] = p
	}
	return kept
}

// threshold marks the threshold of an event, on the lower edge where it lies
// below the axis.
func (f *frame) threshold(t Labelled) {
	if math.IsNaN(t.Y) {
		return
	}
	at := f.place(t.Point)
	bottom, right := float64(f.data.Min.Y), float64(f.data.Max.X)
	f.surface.Stroke(straight(at.X, bottom, at.X, float64(f.data.Max.Y)), Line{Width: 0.4, Dashes: []float64{3, 2}, Colour: Ink})
	at.X = math.Min(at.X, right-2) // the whole symbol stays in the figure
	diamond.draw(f.surface, Point{at.X, math.Max(at.Y, bottom+5)}, 6, Ink)
	x := at.X + 6
	if wide := f.surface.Width(label, t.Label); x+wide > right {
		x = at.X - 6 - wide
	}
	f.surface.Text(x, math.Max(at.Y, bottom+5)-labelSize*0.34, label, Ink, t.Label)
}

// scale covers the margins that are met, and always the acceptance level.
func (m Margin) scale() scale {
	low, high := math.Min(0, m.Axis.From), math.Max(0, m.Axis.To)
	if !(m.Axis.From <= m.Axis.To) || math.IsInf(high-low, 0) {
		low, high = 0, 1
	}
	room := 0.12 * math.Max(high-low, 0.5)
	return linearScale(low-room, high+room)
}

// background draws the holes and the band of the uncertainty, cut at the edges.
func (m Margin) background(frame *frame) {
	left, right := float64(frame.data.Min.X), float64(frame.data.Max.X)
	bottom, top := float64(frame.data.Min.Y), float64(frame.data.Max.Y)
	if !math.IsNaN(m.Uncertainty) {
		from := math.Max(m.Lowest-m.Uncertainty, frame.plot.Y.Min)
		to := math.Min(m.Lowest+m.Uncertainty, frame.plot.Y.Max)
		if to > from {
			frame.surface.Fill(rectangle(left, frame.y(from), right-left, frame.y(to)-frame.y(from)), Band)
		}
	}
	for _, hole := range m.Holes {
		frame.hole(hole, bottom, top)
	}
	for _, hole := range m.Accepted {
		frame.hole(hole, bottom, (bottom+top)/2)
	}
}

// hole draws a part of the range without evidence; one that is accepted is half
// as high as the figure, as in the strip.
func (f *frame) hole(hole Range, bottom, top float64) {
	from, to := f.x(hole.From), f.x(hole.To)
	to = math.Max(to, from+1)
	f.surface.Fill(rectangle(from, bottom, to-from, top-bottom), Gap)
	edge := Line{Width: 0.4, Dashes: []float64{1, 1.5}, Colour: Quiet}
	f.surface.Stroke(straight(from, bottom, from, top), edge)
	f.surface.Stroke(straight(to, bottom, to, top), edge)
}

func (m Margin) legend() []entry {
	var legend []entry
	for i, run := range m.Runs {
		legend = append(legend, runEntry(i, run.Label))
	}
	legend = append(legend, lineEntry("acceptance level", limitLine))
	if m.Limit != 0 && m.Limit > m.Lowest {
		legend = append(legend, lineEntry("limit", highestLine))
	}
	if m.Lowest != 0 {
		legend = append(legend, lineEntry("lowest acceptable level", lowestLine))
	}
	if !math.IsNaN(m.Uncertainty) {
		legend = append(legend, areaEntry("± U", Band))
	}
	if len(m.Thresholds) > 0 {
		legend = append(legend, entry{"threshold of an event", func(s Surface, x, y, width float64) {
			diamond.draw(s, Point{x + width/2, y}, 6, Ink)
		}})
	}
	if len(m.Holes) > 0 {
		legend = append(legend, areaEntry("hole: not shown", Gap))
	}
	if len(m.Accepted) > 0 {
		legend = append(legend, areaEntry("accepted hole, half high", Gap))
	}
	return legend
}

// lane is the lane of failures below the axis.
type lane struct {
	marks []laneMark
	rows  int
	bare  int // failures whose value has no room
}

type laneMark struct {
	Failure
	text string
	x    float64 // where the value begins
	row  int     // of its value; −1 where it has no room
}

// lane lays the failures out: each value in the first row in which it meets no
// other.
func (m Margin) lane(s Surface, width float64) *lane {
	l := &lane{}
	place := func(f float64) float64 {
		return Gutter + (width-rightEdge-Gutter)*math.Log(f/m.Frequencies.From)/math.Log(m.Frequencies.To/m.Frequencies.From)
	}
	failed := append([]Failure(nil), m.Failed...)
	sort.SliceStable(failed, func(i, j int) bool { return failed[i].X < failed[j].X })
	var ends [laneRows]float64
	for _, f := range failed {
		text := "–"
		if !math.IsNaN(f.Y) {
			text = plain(math.Round(f.Y*100)/100, 0.01)
		}
		mark := laneMark{Failure: f, text: text, row: -1}
		wide := s.Width(label, text)
		mark.x = math.Min(math.Max(place(f.X)-wide/2, Gutter), width-rightEdge-wide)
		for row := range ends {
			if mark.x >= ends[row] {
				const apart = 4
				mark.row, ends[row], l.rows = row, mark.x+wide+apart, max(l.rows, row+1)
				break
			}
		}
		if mark.row < 0 {
			l.bare++
		}
		l.marks = append(l.marks, mark)
	}
	return l
}

// height is what the lane takes below the labels of the axis.
func (l *lane) height() float64 {
	if len(l.marks) == 0 {
		return 0
	}
	return laneHead + float64(l.rows)*laneRow + 4
}

func (l *lane) draw(f *frame) {
	if len(l.marks) == 0 {
		return
	}
	s, height := f.surface, l.height()
	left, right := float64(f.data.Min.X), float64(f.data.Max.X)
	s.Stroke(straight(left, height-1, right, height-1), Line{Width: 0.3, Colour: Grid})
	s.Text(0, height-laneHead+1, label, Quiet, "failed")
	const size = 5
	y := height - laneHead + 1
	for _, m := range l.marks {
		x := f.x(m.X)
		if m.State == Met {
			cross.draw(s, Point{x, y + size/2}, size, Ink)
		} else {
			Mark(s, m.State, x-size/2, y, size)
		}
		if m.row >= 0 {
			s.Text(m.x, y-float64(m.row+1)*laneRow+1, label, Ink, m.text)
		}
	}
	if l.bare > 0 {
		s.Text(0, 1, label, Quiet, "…")
	}
}
