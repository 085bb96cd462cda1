package charts

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Gutter is the space for labels at the left of every figure, in points. It is
// the same for all, so that figures above each other share one frequency axis.
const Gutter = 34.0

// The measures of every figure, in points.
const (
	labelSize  = 8.0
	rightEdge  = 2.0
	axisBelow  = 13.0
	legendLine = 11.5
	sampleWide = 20.0
	symbolSize = 3.2
	markSize   = 6.0
)

var (
	label = Font{Size: labelSize}
	title = Font{Size: labelSize, Bold: true}
)

// entry is one line of a legend: a sample drawn into a box, and what it means.
type entry struct {
	label string
	draw  func(s Surface, x, y, width float64) // y is the middle of the line
}

// frame is the axes of a figure and the area between them.
type frame struct {
	surface     Surface
	plot        *plot.Plot
	data        draw.Canvas
	logarithmic bool
}

// axes is what a frame needs to know.
type axes struct {
	frequencies Range
	vertical    scale
	title       string // of the vertical axis, with its unit
	legend      []entry
	below       float64 // space kept free below the labels of the frequencies, points
}

// validate reports axes that cannot be drawn; the logarithm of the plotting
// library does not forgive them.
func (a axes) validate() error {
	if !(a.frequencies.From > 0 && a.frequencies.To > a.frequencies.From) || math.IsInf(a.frequencies.To, 0) {
		return fmt.Errorf("a figure cannot be drawn from %g Hz to %g Hz", a.frequencies.From, a.frequencies.To)
	}
	if !(a.vertical.high > a.vertical.low) || a.vertical.logarithmic && !(a.vertical.low > 0) {
		return fmt.Errorf("the axis %q cannot be drawn from %g to %g", a.title, a.vertical.low, a.vertical.high)
	}
	return nil
}

// newFrame draws title, legend, grid and labels, and returns the area for data.
// The background between grid and axes can be drawn by behind, which may be nil.
func newFrame(s Surface, width, height float64, a axes, behind func(*frame)) (*frame, error) {
	if err := a.validate(); err != nil {
		return nil, err
	}
	top := height - drawLegend(s, width, height, a)
	p := plot.New()
	p.X.Scale = plot.LogScale{}
	p.X.Min, p.X.Max = a.frequencies.From, a.frequencies.To
	p.Y.Min, p.Y.Max = a.vertical.low, a.vertical.high
	if a.vertical.logarithmic {
		p.Y.Scale = plot.LogScale{}
	}
	whole := draw.NewCanvas(newCanvas(s), vg.Length(width), vg.Length(height))
	f := &frame{
		surface: s, plot: p, logarithmic: a.vertical.logarithmic,
		data: draw.Crop(whole, Gutter, -rightEdge, axisBelow+vg.Length(a.below), vg.Length(top-height)),
	}
	if behind != nil {
		behind(f)
	}
	f.drawGrid(a)
	return f, nil
}

// drawLegend writes the title of the axis and the legend above the data, and
// returns the height that they take.
func drawLegend(s Surface, width, height float64, a axes) float64 {
	y := height - labelSize
	s.Text(0, y, title, Ink, a.title)
	const gap = 14
	entryWidth := func(e entry) float64 { return sampleWide + 4 + s.Width(label, e.label) }
	total := -float64(gap)
	for _, e := range a.legend {
		total += entryWidth(e) + gap
	}
	x := width - rightEdge - total
	lines := 1
	if x < s.Width(title, a.title)+2*gap {
		x, lines = 0, 2
		y -= legendLine
	}
	for _, e := range a.legend {
		if x > 0 && x+entryWidth(e) > width {
			x, lines = 0, lines+1
			y -= legendLine
		}
		e.draw(s, x, y+labelSize*0.33, sampleWide)
		s.Text(x+sampleWide+4, y, label, Ink, e.label)
		x += entryWidth(e) + gap
	}
	return float64(lines)*legendLine + 6
}

func (f *frame) drawGrid(a axes) {
	s := f.surface
	left, right := float64(f.data.Min.X), float64(f.data.Max.X)
	bottom, top := float64(f.data.Min.Y), float64(f.data.Max.Y)
	hair := Line{Width: 0.3, Colour: Grid}
	for _, t := range a.vertical.ticks {
		y := f.y(t.value)
		s.Stroke(straight(left, y, right, y), hair)
		if t.label != "" {
			s.Text(left-4-s.Width(label, t.label), y-labelSize*0.34, label, Quiet, t.label)
		}
	}
	axis := Line{Width: 0.5, Colour: Quiet}
	measure := func(text string) float64 { return s.Width(label, text) }
	for _, t := range frequencyTicks(a.frequencies, right-left, measure) {
		x := f.x(t.value)
		length := 2.0
		if t.label != "" {
			length = 3.5
			if t.value > a.frequencies.From && t.value < a.frequencies.To {
				s.Stroke(straight(x, bottom, x, top), hair)
			}
			from := math.Min(math.Max(x-measure(t.label)/2, left), right-measure(t.label))
			s.Text(from, bottom-labelSize-4, label, Quiet, t.label)
		}
		s.Stroke(straight(x, bottom, x, bottom-length), axis)
	}
	s.Stroke(straight(left, bottom, right, bottom), axis)
}

// x and y return where a value stands on the surface.
func (f *frame) x(hertz float64) float64 { return float64(f.data.X(f.plot.X.Norm(hertz))) }
func (f *frame) y(value float64) float64 { return float64(f.data.Y(f.plot.Y.Norm(value))) }

// place returns where a point stands, moved to the nearest edge where its value
// lies outside the axis.
func (f *frame) place(p Point) Point {
	value := math.Min(math.Max(p.Y, f.plot.Y.Min), f.plot.Y.Max)
	return Point{f.x(p.X), f.y(value)}
}

// line draws a curve through the points with the plotting library, which cuts
// it at the edges of the data area.
func (f *frame) line(points []Point, style Line) error {
	for _, part := range parts(points, f.logarithmic) {
		xys := make(plotter.XYs, len(part))
		for i, p := range part {
			xys[i].X, xys[i].Y = p.X, p.Y
		}
		curve, err := plotter.NewLine(xys)
		if err != nil {
			return fmt.Errorf("draw a curve: %w", err)
		}
		curve.LineStyle = draw.LineStyle{Color: style.Colour, Width: vg.Length(style.Width)}
		for _, d := range style.Dashes {
			curve.Dashes = append(curve.Dashes, vg.Length(d))
		}
		curve.Plot(f.data, f.plot)
	}
	return nil
}

// run draws the curve of a run in its look: a line, and symbols as far apart as
// keeps them readable. A part of few points has a symbol at each.
func (f *frame) run(index int, points []Point) error {
	look := lookOf(index)
	if err := f.line(points, Line{Width: 0.9, Dashes: look.dashes, Colour: look.colour}); err != nil {
		return err
	}
	const apart, few = 15, 3
	last := math.Inf(-1)
	for _, part := range parts(points, f.logarithmic) {
		for _, p := range part {
			at := f.place(p)
			if p.Y < f.plot.Y.Min || p.Y > f.plot.Y.Max || len(part) > few && at.X-last < apart {
				continue
			}
			look.symbol.draw(f.surface, at, symbolSize, look.colour)
			last = at.X
		}
	}
	return nil
}

// runEntry is the legend of a run.
func runEntry(index int, name string) entry {
	return entry{name, func(s Surface, x, y, width float64) {
		look := lookOf(index)
		s.Stroke(straight(x, y, x+width, y), Line{Width: 0.9, Dashes: look.dashes, Colour: look.colour})
		look.symbol.draw(s, Point{x + width/2, y}, symbolSize, look.colour)
	}}
}

// lineEntry is the legend of a plain line.
func lineEntry(name string, style Line) entry {
	return entry{name, func(s Surface, x, y, width float64) { s.Stroke(straight(x, y, x+width, y), style) }}
}

// areaEntry is the legend of a filled area.
func areaEntry(name string, colour color.RGBA) entry {
	return entry{name, func(s Surface, x, y, width float64) { s.Fill(rectangle(x, y-3, width, 6), colour) }}
}

// markEntry is the legend of a mark.
func markEntry(name string, state Proof) entry {
	return entry{name, func(s Surface, x, y, width float64) {
		Mark(s, state, x+(width-markSize)/2, y-markSize/2, markSize)
	}}
}

// extent returns the lowest and highest defined value of the series; low > high
// where there is none.
func extent(logarithmic bool, all ...[]Point) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, points := range all {
		for _, p := range points {
			if p.defined(logarithmic) {
				low, high = math.Min(low, p.Y), math.Max(high, p.Y)
			}
		}
	}
	return low, high
}

// pointsOf collects the points of several series.
func pointsOf(series []Series) [][]Point {
	all := make([][]Point, len(series))
	for i, s := range series {
		all[i] = s.Points
	}
	return all
}
