package charts

import "math"

// Power is the forward and reflected power of the runs over frequency, in watts
// on a logarithmic axis. Runs and reflected go by index; a run without a record
// of reflected power has no points there.
type Power struct {
	Frequencies Range
	Forward     []Series
	Reflected   []Series
	Rated       float64 // forward power that the weakest part stands; NaN where not given
}

var ratedLine = Line{Width: 0.8, Dashes: []float64{6, 2, 1, 2}, Colour: Ink}

// Draw draws the figure, width by height points.
func (p Power) Draw(s Surface, width, height float64) error {
	low, high := extent(true, append(pointsOf(p.Forward), pointsOf(p.Reflected)...)...)
	if low > high {
		low, high = 1, 10
	}
	if p.Rated > 0 {
		high = math.Max(high, p.Rated)
	}
	low = math.Max(low, high*1e-5) // a reflection near nothing must not press the rest together
	var legend []entry
	for i, run := range p.Forward {
		legend = append(legend, runEntry(i, run.Label+", forward"))
		if i < len(p.Reflected) && len(p.Reflected[i].Points) > 0 {
			legend = append(legend, lineEntry(run.Label+", reflected", reflectedLine(i)))
		}
	}
	if p.Rated > 0 {
		legend = append(legend, lineEntry("rated forward power", ratedLine))
	}
	frame, err := newFrame(s, width, height, axes{
		frequencies: p.Frequencies, vertical: logScale(low, high), title: "Power at the antenna, W", legend: legend,
	}, nil)
	if err != nil {
		return err
	}
	for i, run := range p.Reflected {
		if err := frame.line(run.Points, reflectedLine(i)); err != nil {
			return err
		}
	}
	for i, run := range p.Forward {
		if err := frame.run(i, run.Points); err != nil {
			return err
		}
	}
	if p.Rated > 0 {
		return frame.level(p.Rated, ratedLine)
	}
	return nil
}

// reflectedLine is thinner than the forward power's and has no symbols.
func reflectedLine(run int) Line {
	look := lookOf(run)
	return Line{Width: 0.5, Dashes: look.dashes, Colour: look.colour}
}

// level draws a horizontal line over the whole width.
func (f *frame) level(value float64, style Line) error {
	return f.line([]Point{{f.plot.X.Min, value}, {f.plot.X.Max, value}}, style)
}
