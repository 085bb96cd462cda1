package charts

import (
	"fmt"
	"math"
	"strconv"
)

// Setup is the plan of a test setup, dimensioned in metres: from above the
// boundary of the setup with the antenna positions before it, and from the side
// the antenna, the bench and the probe. Nothing in it is measured from a picture:
// what is not stated is not drawn.
type Setup struct {
	Width     float64 // of the boundary, edge to edge
	Distance  float64 // from the antenna to the front edge of the boundary
	Height    float64 // of the probe over the ground plane; NaN where not stated
	Positions int     // antenna positions, spread evenly over the width
}

// The parts of the plan, in points.
const (
	dimensionGap = 12 // from what is measured to its dimension line
	depthOfBox   = 26 // of the boundary; its depth is not stated
	planEdge     = 40
)

// Draw draws the figure, width by height points.
func (p Setup) Draw(s Surface, width, height float64) error {
	for _, length := range []float64{p.Width, p.Distance} {
		if !(length > 0) || math.IsInf(length, 0) {
			return fmt.Errorf("a setup cannot be drawn with a length of %g m", length)
		}
	}
	top := height - labelSize
	s.Text(0, top, title, Ink, "From above")
	p.fromAbove(s, width*0.6, top-6)
	s.Text(width*0.64, top, title, Ink, "From the side")
	p.fromTheSide(s, width*0.64, width, top-6)
	return nil
}

// fromAbove draws the boundary, and before it the antennas in their positions.
func (p Setup) fromAbove(s Surface, width, top float64) {
	line, thin := Line{Width: 0.8, Colour: Accent}, Line{Width: 0.4, Dashes: []float64{2, 2}, Colour: Quiet}
	room := top - dimensionGap - labelSize - depthOfBox - 22
	scale := math.Min((width-2*planEdge)/p.Width, room/p.Distance)
	middle, front := width/2, top-dimensionGap-labelSize-depthOfBox
	left, right := middle-scale*p.Width/2, middle+scale*p.Width/2
	s.Stroke(rectangle(left, front, right-left, depthOfBox), line)
	const name = "test setup boundary"
	if s.Width(label, name) < right-left-4 {
		s.Text(middle-s.Width(label, name)/2, front+depthOfBox/2-labelSize*0.34, label, Ink, name)
	}
	level(s, left, right, top-labelSize-2, p.Width)
	antennas := front - scale*p.Distance
	for i := range p.Positions {
		x := left + (right-left)*(float64(i)+0.5)/float64(p.Positions)
		s.Stroke(straight(x, front, x, antennas), thin)
		triangle.draw(s, Point{x, antennas - 4}, 8, Accent)
		number := strconv.Itoa(i + 1)
		s.Text(x-s.Width(label, number)/2, antennas-4-labelSize-5, label, Ink, number)
	}
	upright(s, right+dimensionGap, antennas, front, p.Distance, 1)
}

// fromTheSide draws the antenna, the bench with the front edge of the setup, and
// the probe over it.
func (p Setup) fromTheSide(s Surface, left, right, top float64) {
	line := Line{Width: 0.8, Colour: Accent}
	bench := top * 0.45
	antenna := left + 16
	scale := (right - antenna - planEdge) / (p.Distance * 1.5)
	edge := antenna + scale*p.Distance
	s.Stroke(straight(edge, bench, right-4, bench), Line{Width: 1.6, Colour: Accent})
	s.Text(edge+4, bench-labelSize-4, label, Ink, "ground plane")
	s.Stroke(straight(antenna, bench-30, antenna, bench+40), line)
	s.Text(left, bench-30-labelSize-2, label, Ink, "antenna")
	level(s, antenna, edge, bench-14, p.Distance)
	if !(p.Height > 0) {
		return
	}
	probe := Point{edge + 8, bench + math.Min(scale*p.Height, top-bench-labelSize-6)}
	disc.draw(s, probe, 5, Ink)
	s.Text(probe.X+6, probe.Y-labelSize*0.34, label, Ink, "probe")
	upright(s, edge-6, bench, probe.Y, p.Height, -1)
}

// level draws a dimension line with its length over it.
func level(s Surface, from, to, y, length float64) {
	line, text := Line{Width: 0.5, Colour: Ink}, metres(length)
	s.Stroke(straight(from, y, to, y), line)
	for _, x := range []float64{from, to} {
		s.Stroke(straight(x, y-3, x, y+3), line)
	}
	s.Text((from+to-s.Width(label, text))/2, y+3, label, Ink, text)
}

// upright draws a dimension line with its length to the right (side 1) or to the
// left of it (side −1).
func upright(s Surface, x, from, to, length float64, side int) {
	line, text := Line{Width: 0.5, Colour: Ink}, metres(length)
	s.Stroke(straight(x, from, x, to), line)
	for _, y := range []float64{from, to} {
		s.Stroke(straight(x-3, y, x+3, y), line)
	}
	at := x + 5
	if side < 0 {
		at = x - 5 - s.Width(label, text)
	}
	s.Text(at, (from+to)/2-labelSize*0.34, label, Ink, text)
}

func metres(length float64) string { return strconv.FormatFloat(length, 'g', 4, 64) + " m" }
