package layout

import (
	"fmt"
	"image/color"
	"math"

	"fieldheld/charts"
	"fieldheld/templates/fonts"
)

// Furniture is what stands on every page beside the body. Its texts are set as
// they are.
type Furniture struct {
	HeadRight string // of the running head
	HeadLeft  string // cut where the text at the right needs its room
	Foot      string // at the left; at the right stands the number of the page
	Marking   string // in the middle, above the running head and below the foot; "" none
	Watermark string // one short word across the page, pale enough to read over; "" none
}

// furnish draws the furniture of the present page.
func (f *Flow) furnish() {
	if f.furniture.Watermark != "" {
		f.watermark(f.furniture.Watermark)
	}
	format := f.Format
	top, foot := Margin-16, format.Height-Margin+16
	right := f.furniture.HeadRight
	f.TextRight(format.Right(), top, furnitureStyle, right)
	room := format.Measure() - f.types.width(furnitureStyle, right) - 20
	f.Text(format.Left(), top, furnitureStyle, f.types.fit(furnitureStyle, f.furniture.HeadLeft, room))
	f.Rule(format.Left(), format.Right(), top+5, 0.4, charts.Accent)
	if f.furniture.Marking != "" {
		for _, at := range []float64{top - 13, foot + 13} {
			f.marking(f.furniture.Marking, at)
		}
	}
	f.TextRight(format.Right(), foot, furnitureStyle, fmt.Sprintf("Page %d of %d", f.page, f.earlier.pages))
	f.Text(format.Left(), foot, furnitureStyle, f.types.fit(furnitureStyle, f.furniture.Foot, format.Measure()-90))
}

// marking sets the marking of the document in the middle of a line.
func (f *Flow) marking(text string, at float64) {
	bold := furnitureStyle.Bold().In(charts.Ink)
	text = f.types.fit(bold, text, f.Format.Measure())
	f.Text((f.Format.Width-f.types.width(bold, text))/2, at, bold, text)
}

// watermark writes a word across the page.
func (f *Flow) watermark(word string) {
	pale := Style{fonts.Bold, 150, 150, color.RGBA{240, 238, 235, 255}}
	width := f.types.width(pale, word)
	angle := math.Atan2(f.Format.Height, f.Format.Width)
	if f.doc == nil {
		f.types.pieces(pale, word)
		return
	}
	s := &surface{f.paper, 0, 0}
	s.Save()
	sin, cos := math.Sincos(angle)
	s.Transform(cos, sin, -sin, cos, f.Format.Width/2, f.Format.Height/2)
	f.typeset(-width/2, pale.Size*0.35, 0, pale, word)
	s.Restore()
}
