package pdf

import (
	"image/color"

	"fieldheld/charts"
	"fieldheld/templates/fonts"
)

// style is how a text is set: cut, size and distance of lines in points, colour.
type style struct {
	cut     fonts.Cut
	size    float64
	leading float64
	colour  color.RGBA
}

// The type of the report: four sizes, two weights.
var (
	titleStyle   = style{fonts.Bold, 22, 26, charts.Ink}
	answerStyle  = style{fonts.Regular, 13, 18.5, charts.Ink}
	headStyle    = style{fonts.Bold, 13, 17, charts.Accent}
	subheadStyle = style{fonts.Bold, 9.5, 13.5, charts.Ink}
	textStyle    = style{fonts.Regular, 9.5, 13.5, charts.Ink}
	tableStyle   = style{fonts.Condensed, 8, 10.5, charts.Ink}
	tableHead    = style{fonts.CondensedBold, 8, 10, charts.Ink}
	unitStyle    = style{fonts.Condensed, 8, 10, charts.Quiet}
	labelStyle   = style{fonts.Condensed, 8, 10.5, charts.Quiet}
	captionStyle = style{fonts.Condensed, 8, 10.5, charts.Quiet}
	furniture    = style{fonts.Condensed, 8, 10, charts.Quiet} // head and foot of each page
)

func (s style) in(colour color.RGBA) style {
	s.colour = colour
	return s
}

func (s style) bold() style {
	switch s.cut {
	case fonts.Regular:
		s.cut = fonts.Bold
	case fonts.Condensed:
		s.cut = fonts.CondensedBold
	}
	return s
}

// format is the geometry of a page in points, the origin at its upper left corner.
type format struct {
	name          string
	width, height float64
}

const (
	millimetre = 72 / 25.4
	margin     = 18 * millimetre
	bodyTop    = margin + 6 // below the head of the page
)

var (
	a4     = format{"A4", 595.28, 841.89}
	letter = format{"Letter", 612, 792}
)

func (f format) left() float64   { return margin }
func (f format) right() float64  { return f.width - margin }
func (f format) body() float64   { return f.width - 2*margin }
func (f format) bottom() float64 { return f.height - margin - 4 }
