package pdf

import (
	"fmt"
	"image/color"
	"math"

	"fieldheld/charts"
	"fieldheld/templates/fonts"
)

// furniture draws what stands on every page: laboratory, number and revision at
// the head, the page at the foot, and across the page that the report is a draft.
func (b *book) furniture() {
	if b.report.Draft() {
		b.draftStamp()
	}
	format := b.format
	top := margin - 16
	name := reportName(b.report)
	if amended := b.report.Sheet.Report.Revision > 0; amended {
		name += " (amendment)"
	}
	right := "Test report " + name
	b.textRight(format.right(), top, furniture, right)
	room := format.body() - b.types.width(furniture, right) - 20
	left := clean(b.report.Sheet.Laboratory.Name)
	if b.report.Draft() {
		left = "DRAFT  ·  " + left
	}
	b.text(format.left(), top, furniture, b.types.fit(furniture, left, room))
	b.rule(format.left(), format.right(), top+5, 0.4, charts.Accent)

	foot := format.height - margin + 16
	if marking := clean(b.report.Sheet.Report.Marking); marking != "" {
		for _, at := range []float64{top - 13, foot + 13} {
			b.marking(marking, at)
		}
	}
	b.textRight(format.right(), foot, furniture, fmt.Sprintf("Page %d of %d", b.page, b.earlier.pages))
	b.text(format.left(), foot, furniture, b.types.fit(furniture, clean(b.report.Sheet.Article.Name), format.body()-90))
}

// marking sets the marking of the document in the middle of a line.
func (b *book) marking(text string, at float64) {
	bold := furniture.bold().in(charts.Ink)
	text = b.types.fit(bold, text, b.format.body())
	b.text((b.format.width-b.types.width(bold, text))/2, at, bold, text)
}

// draftStamp writes DRAFT across the page, pale enough to read over.
func (b *book) draftStamp() {
	pale := style{fonts.Bold, 150, 150, color.RGBA{240, 238, 235, 255}}
	const word = "DRAFT"
	width := b.types.width(pale, word)
	angle := math.Atan2(b.format.height, b.format.width)
	if b.doc == nil {
		b.types.pieces(pale, word)
		return
	}
	s := &surface{b.paper, 0, 0}
	s.Save()
	sin, cos := math.Sincos(angle)
	s.Transform(cos, sin, -sin, cos, b.format.width/2, b.format.height/2)
	b.typeset(-width/2, pale.size*0.35, 0, pale, word)
	s.Restore()
}
