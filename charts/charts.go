// Package charts draws the figures of a report: the sustained field, power,
// VSWR, dwell and transfer over frequency, the limit of a requirement, the strip
// that shows a whole day at once, and the marks of the states.
//
// A figure takes plain numbers and labels: frequencies in hertz, fields in V/m,
// powers in watts, times in seconds. It knows nothing of how they came about. It
// is drawn on a Surface, whose origin is the lower left corner of the figure, x
// to the right and y up, in points. No meaning is carried by colour alone: runs
// differ in dash and symbol, states in the form of their mark.
package charts

import (
	"image/color"
	"math"
)

// Point is a figure at a frequency. A Y that is NaN is not defined there.
type Point struct{ X, Y float64 }

// Range is a part of the frequency axis.
type Range struct{ From, To float64 }

// Series is what one run shows over frequency, ascending.
type Series struct {
	Label  string
	Points []Point
}

// Proof is how much of the proof is there, as a mark shows it. The zero value
// is NotShown.
type Proof int

// The states that have a mark.
const (
	NotShown          Proof = iota // a dotted outline
	NotMet                         // an empty square with a stroke through it
	Met                            // a filled square
	MetWithDeviations              // a half filled square
)

// Font is a cut and size of the labels' typeface. Size is in points.
type Font struct {
	Bold bool
	Size float64
}

// SegmentKind says what a segment of a path does.
type SegmentKind int

// The kinds of segments.
const (
	MoveTo  SegmentKind = iota // begins a part at the point
	LineTo                     // straight to the point
	CurveTo                    // a cubic Bézier curve to the point, two controls before it
	Close                      // straight to the begin of the part
)

// Segment is one part of a path: the points that its kind needs, the last of
// them where it ends.
type Segment struct {
	Kind   SegmentKind
	Points [3]Point
}

// Line is how a path is stroked. Width and dashes are in points; no dashes is a
// solid line.
type Line struct {
	Width  float64
	Dashes []float64
	Colour color.RGBA
}

// Surface is a page, or a part of one, that can be drawn on.
type Surface interface {
	// Save keeps the transformation and styles, Restore brings them back.
	Save()
	Restore()
	// Transform maps what follows: x' = a·x + c·y + e, y' = b·x + d·y + f.
	Transform(a, b, c, d, e, f float64)
	// Stroke draws along a path, Fill fills it.
	Stroke(path []Segment, line Line)
	Fill(path []Segment, colour color.RGBA)
	// Text writes a text whose baseline begins at x, y.
	Text(x, y float64, font Font, colour color.RGBA, text string)
	// Width is how wide a text is, in points.
	Width(font Font, text string) float64
}

// defined reports whether a point can be drawn on axes, of which the second may
// be logarithmic.
func (p Point) defined(logarithmic bool) bool {
	return p.X > 0 && !math.IsNaN(p.Y) && !math.IsInf(p.Y, 0) && (!logarithmic || p.Y > 0)
}

// parts cuts a series where a figure is not defined, so that no line is drawn
// over what was not measured.
func parts(points []Point, logarithmic bool) [][]Point {
	var all [][]Point
	begin := 0
	for i := range points {
		if points[i].defined(logarithmic) {
			continue
		}
		if i > begin {
			all = append(all, points[begin:i])
		}
		begin = i + 1
	}
	if begin < len(points) {
		all = append(all, points[begin:])
	}
	return all
}
