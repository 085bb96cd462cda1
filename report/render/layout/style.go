package layout

import (
	"image/color"

	"fieldheld/charts"
	"fieldheld/templates/fonts"
)

// Style is how a text is set: cut, size and distance of lines in points, colour.
type Style struct {
	Cut     fonts.Cut
	Size    float64
	Leading float64
	Colour  color.RGBA
}

// The type of the report: four sizes, two weights.
var (
	TitleStyle      = Style{fonts.Bold, 22, 26, charts.Ink}
	LeadStyle       = Style{fonts.Regular, 13, 18.5, charts.Ink}
	HeadingStyle    = Style{fonts.Bold, 13, 17, charts.Accent}
	SubheadingStyle = Style{fonts.Bold, 9.5, 13.5, charts.Ink}
	BodyStyle       = Style{fonts.Regular, 9.5, 13.5, charts.Ink}
	TableStyle      = Style{fonts.Condensed, 8, 10.5, charts.Ink}
	TableHeadStyle  = Style{fonts.CondensedBold, 8, 10, charts.Ink}
	UnitStyle       = Style{fonts.Condensed, 8, 10, charts.Quiet}
	LabelStyle      = Style{fonts.Condensed, 8, 10.5, charts.Quiet}
	CaptionStyle    = Style{fonts.Condensed, 8, 10.5, charts.Quiet}
	FurnitureStyle  = Style{fonts.Condensed, 8, 10, charts.Quiet} // head and foot of each page
)

func (s Style) In(colour color.RGBA) Style {
	s.Colour = colour
	return s
}

func (s Style) Bold() Style {
	switch s.Cut {
	case fonts.Regular:
		s.Cut = fonts.Bold
	case fonts.Condensed:
		s.Cut = fonts.CondensedBold
	}
	return s
}

// Format is the geometry of a page in points, the origin at its upper left corner.
type Format struct {
	Name          string
	Width, Height float64
}

const (
	millimetre = 72 / 25.4
	Margin     = 18 * millimetre
	bodyTop    = Margin + 6 // below the head of the page
)

var (
	A4     = Format{"A4", 595.28, 841.89}
	Letter = Format{"Letter", 612, 792}
)

func (f Format) Left() float64    { return Margin }
func (f Format) Right() float64   { return f.Width - Margin }
func (f Format) Measure() float64 { return f.Width - 2*Margin }
func (f Format) Bottom() float64  { return f.Height - Margin - 4 }
