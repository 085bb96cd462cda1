package charts

import (
	"image/color"
	"math"
)

// Mark draws the mark of a state: a square whose lower left corner is at x, y.
func Mark(s Surface, state Proof, x, y, size float64) {
	width := size / 9
	half := width / 2
	outline := rectangle(x+half, y+half, size-width, size-width)
	line := Line{Width: width, Colour: Ink}
	switch state {
	case Met:
		s.Fill(rectangle(x, y, size, size), Ink)
	case MetWithDeviations:
		s.Fill(rectangle(x, y, size, size), Paper)
		s.Fill([]Segment{
			moveTo(Point{x, y}), lineTo(Point{x + size, y}), lineTo(Point{x, y + size}), {Kind: Close},
		}, Ink)
		s.Stroke(outline, line)
	case NotMet:
		s.Fill(rectangle(x, y, size, size), Paper)
		s.Stroke(outline, line)
		reach := size * 0.22 // the stroke runs out of the square, to be seen when small
		s.Stroke(straight(x-reach, y-reach, x+size+reach, y+size+reach), Line{Width: 1.4 * width, Colour: Ink})
	default:
		s.Fill(rectangle(x, y, size, size), Paper)
		dash := (size - width) / 7
		line.Dashes = []float64{dash, dash}
		s.Stroke(outline, line)
	}
}

// symbol is the form that marks the points of a run.
type symbol int

const (
	disc symbol = iota
	ring
	triangle
	diamond
	square
	cross
)

// draw draws the symbol around a point, about size wide.
func (k symbol) draw(s Surface, at Point, size float64, colour color.RGBA) {
	r := size / 2
	thin := Line{Width: size / 4, Colour: colour}
	polygon := func(corners ...Point) []Segment {
		path := make([]Segment, 0, len(corners)+1)
		for i, c := range corners {
			p := Point{at.X + r*c.X, at.Y + r*c.Y}
			if i == 0 {
				path = append(path, moveTo(p))
			} else {
				path = append(path, lineTo(p))
			}
		}
		return append(path, Segment{Kind: Close})
	}
	circle := append(arcSegments(at, r, 0, 2*math.Pi, true), Segment{Kind: Close})
	switch k {
	case disc:
		s.Fill(circle, colour)
	case ring:
		s.Fill(circle, Paper)
		s.Stroke(circle, thin)
	case triangle:
		s.Fill(polygon(Point{-1.1, -0.8}, Point{1.1, -0.8}, Point{0, 1.2}), colour)
	case diamond:
		s.Fill(polygon(Point{-1.2, 0}, Point{0, -1.2}, Point{1.2, 0}, Point{0, 1.2}), colour)
	case square:
		outline := polygon(Point{-0.9, -0.9}, Point{0.9, -0.9}, Point{0.9, 0.9}, Point{-0.9, 0.9})
		s.Fill(outline, Paper)
		s.Stroke(outline, thin)
	case cross:
		s.Stroke(straight(at.X-r, at.Y-r, at.X+r, at.Y+r), thin)
		s.Stroke(straight(at.X-r, at.Y+r, at.X+r, at.Y-r), thin)
	}
}
