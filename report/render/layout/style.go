package layout

import (
	"image/color"

	"fieldheld/charts"
	"fieldheld/templates/fonts"
)

// Style is how a text is set.
type Style struct {
	Cut     fonts.Cut
	Size    Points
	Leading Points // from one baseline to the next
	Colour  color.RGBA
}

// The type of a document: four sizes, two weights.
var (
	TitleStyle      = Style{fonts.Bold, 22, 26, charts.Ink}
	LeadStyle       = Style{fonts.Regular, 13, 18.5, charts.Ink} // what is to be read first
	HeadingStyle    = Style{fonts.Bold, 13, 17, charts.Accent}
	subheadingStyle = Style{fonts.Bold, 9.5, 13.5, charts.Ink}
	BodyStyle       = Style{fonts.Regular, 9.5, 13.5, charts.Ink} // running text
	TableStyle      = Style{fonts.Condensed, 8, 10.5, charts.Ink}
	tableHeadStyle  = Style{fonts.CondensedBold, 8, 10, charts.Ink}
	unitStyle       = Style{fonts.Condensed, 8, 10, charts.Quiet}   // of a column, below its head
	LabelStyle      = Style{fonts.Condensed, 8, 10.5, charts.Quiet} // before a value
	CaptionStyle    = Style{fonts.Condensed, 8, 10.5, charts.Quiet} // captions and notes
	furnitureStyle  = Style{fonts.Condensed, 8, 10, charts.Quiet}   // head and foot of each page
)

// In returns the style in another colour.
func (s Style) In(colour color.RGBA) Style {
	s.Colour = colour
	return s
}

// Bold returns the style in the bold cut of its family.
func (s Style) Bold() Style {
	switch s.Cut {
	case fonts.Regular:
		s.Cut = fonts.Bold
	case fonts.Condensed:
		s.Cut = fonts.CondensedBold
	}
	return s
}

// Format is the format of the paper, upright.
type Format struct {
	Name          string
	Width, Height Points
}

// Margin is what the body leaves free on each side of the page. Head and foot stand
// in it.
const Margin = 18 * Millimetre

const bodyTop = Margin + 6 // below the head of the page

// The formats in which documents are set.
var (
	A4     = Format{"A4", 595.28, 841.89}
	Letter = Format{"Letter", 612, 792}
)

// Left is the left edge of the body.
func (f Format) Left() Points { return Margin }

// Right is the right edge of the body.
func (f Format) Right() Points { return f.Width - Margin }

// Measure is the width of the body.
func (f Format) Measure() Points { return f.Width - 2*Margin }

// Bottom is the lower edge of the body.
func (f Format) Bottom() Points { return f.Height - Margin - 4 }
