package charts

import (
	"math"
)

// Field is the sustained field over frequency against what is required. Levels
// are given as straight pieces in double logarithm, one slice a segment.
type Field struct {
	Frequencies Range
	Limit       [][]Point
	Lowest      [][]Point // lowest acceptable level; nil where it is the limit
	Highest     [][]Point // upper tolerance; nil where there is none
	Runs        []Series
	Unmet       []Point // steps not met; Y is NaN where no level was held
	Accepted    []Point // steps not met or not shown, with an accepted deviation
	NotShown    []Point // steps without usable evidence
	Earlier     []Point // visits that failed and were repeated
	Holes       []Range

	AcceptedHoles []Range // holes that a deviation accepts: half as high as the figure
}

var (
	limitLine   = Line{Width: 1.2, Colour: Ink}
	lowestLine  = Line{Width: 0.7, Dashes: []float64{5, 2.5}, Colour: Ink}
	highestLine = Line{Width: 0.7, Dashes: []float64{1, 2}, Colour: Ink}
)

// Draw draws the figure, width by height points.
func (f Field) Draw(s Surface, width, height float64) error {
	vertical, above := f.scale()
	frame, err := newFrame(s, width, height, axes{
		frequencies: f.Frequencies, vertical: vertical, title: "Sustained field, V/m", legend: f.legend(above),
	}, f.background)
	if err != nil {
		return err
	}
	for _, level := range []struct {
		pieces [][]Point
		style  Line
	}{{f.Highest, highestLine}, {f.Lowest, lowestLine}, {f.Limit, limitLine}} {
		for _, piece := range level.pieces {
			if err := frame.line(piece, level.style); err != nil {
				return err
			}
		}
	}
	for i, run := range f.Runs {
		if err := frame.run(i, run.Points); err != nil {
			return err
		}
	}
	for _, p := range f.Earlier {
		if p.defined(true) {
			cross.draw(s, frame.place(p), 4.5, Ink)
		}
	}
	frame.marks(f.Accepted, MetWithDeviations)
	frame.marks(f.NotShown, NotShown)
	frame.marks(f.Unmet, NotMet)
	return nil
}

// marks puts the mark of a state at each point, on the axis where the point has
// no level, with a hairline down to the axis so that its frequency can be read where they
// are few.
func (f *frame) marks(points []Point, state Proof) {
	bottom := float64(f.data.Min.Y)
	const few = 25 // with more, hairlines would be a wall and marks a heap
	size := markSize
	if len(points) > few {
		size *= 0.6
	}
	for _, p := range points {
		at := Point{f.x(p.X), bottom}
		if p.defined(f.logarithmic) {
			at = f.place(p)
		}
		if len(points) <= few {
			f.surface.Stroke(straight(at.X, bottom, at.X, at.Y), Line{Width: 0.4, Colour: Ink})
		}
		Mark(f.surface, state, at.X-size/2, math.Max(at.Y-size/2, bottom), size)
	}
}

// background draws the holes and the band between lowest and highest level.
func (f Field) background(frame *frame) {
	bottom, top := float64(frame.data.Min.Y), float64(frame.data.Max.Y)
	lowest := f.Lowest
	if lowest == nil {
		lowest = f.Limit
	}
	for i, piece := range lowest {
		if i >= len(f.Highest) || len(piece) < 2 {
			continue
		}
		var path []Segment
		for k, p := range piece {
			at := frame.place(p)
			path = append(path, lineTo(at))
			if k == 0 {
				path[0] = moveTo(at)
			}
		}
		upper := f.Highest[i]
		for k := len(upper) - 1; k >= 0; k-- {
			path = append(path, lineTo(frame.place(upper[k])))
		}
		frame.surface.Fill(append(path, Segment{Kind: Close}), Band)
	}
	for _, hole := range f.Holes {
		frame.hole(hole, bottom, top)
	}
	for _, hole := range f.AcceptedHoles {
		frame.hole(hole, bottom, (bottom+top)/2)
	}
}

// scale covers limit, lowest level and all data. The upper tolerance is covered
// where it does not press the data together; above reports that it is not.
func (f Field) scale() (vertical scale, above bool) {
	all := append(pointsOf(f.Runs), f.Unmet, f.Earlier, f.Accepted)
	all = append(append(all, f.Limit...), f.Lowest...)
	low, high := extent(true, all...)
	if low > high {
		low, high = 1, 10
	}
	_, tolerance := extent(true, f.Highest...)
	if room := high + 0.6*(high-low); tolerance > high {
		if tolerance <= room {
			high = tolerance
		} else {
			above = true
		}
	}
	if high/low > 6 {
		return logScale(low/1.05, high*1.05), above
	}
	margin := 0.08 * math.Max(high-low, 0.02*high)
	return linearScale(math.Max(low-margin, 0), high+margin), above
}

func (f Field) legend(above bool) []entry {
	var legend []entry
	for i, run := range f.Runs {
		legend = append(legend, runEntry(i, run.Label))
	}
	legend = append(legend, lineEntry("limit", limitLine))
	if f.Lowest != nil {
		legend = append(legend, lineEntry("lowest acceptable level", lowestLine))
	}
	if f.Highest != nil {
		legend = append(legend, areaEntry("tolerance band", Band))
		name := "upper tolerance"
		if above {
			name += " (above this figure)"
		}
		legend = append(legend, lineEntry(name, highestLine))
	}
	if len(f.Unmet) > 0 {
		legend = append(legend, markEntry("step not met", NotMet))
	}
	if len(f.NotShown) > 0 {
		legend = append(legend, markEntry("step not shown", NotShown))
	}
	if len(f.Accepted) > 0 {
		legend = append(legend, markEntry("deviation accepted", MetWithDeviations))
	}
	if len(f.Earlier) > 0 {
		legend = append(legend, entry{"failed visit, repeated", func(s Surface, x, y, width float64) {
			cross.draw(s, Point{x + width/2, y}, 4.5, Ink)
		}})
	}
	if len(f.Holes) > 0 {
		legend = append(legend, areaEntry("hole: not shown", Gap))
	}
	if len(f.AcceptedHoles) > 0 {
		legend = append(legend, areaEntry("accepted hole, half high", Gap))
	}
	return legend
}
