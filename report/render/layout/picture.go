package layout

import (
	"fmt"

	"fieldheld/charts"
)

// Picture is a picture among the resources of the document.
type Picture struct {
	Name          string // of the resource, without the stroke before it
	Width, Height int    // in pixels, as they are kept
	Turn          int    // quarter turns to the right that bring it upright
}

// upright is the width and height of the picture as it is seen, in pixels.
func (p Picture) upright() (width, height float64) {
	width, height = float64(p.Width), float64(p.Height)
	if p.Turn%2 == 1 {
		return height, width
	}
	return width, height
}

// Picture sets a picture with its caption, no larger than its pixels allow to be
// seen sharply and than half a page.
func (f *Flow) Picture(p Picture, caption string) {
	wide, high := p.upright()
	lines := f.types.wrap(CaptionStyle, f.prepare(caption), f.Format.Measure())
	most := (f.Format.Bottom() - bodyTop) * 0.42
	scale := min(f.Format.Measure()/wide, most/high)
	const coarsest = 72.0 / 60 // points a pixel: below sixty pixels an inch a picture is a blur
	scale = min(scale, max(coarsest, 60/max(wide, high)))
	below := float64(len(lines))*CaptionStyle.Leading + 18
	const smallest = 0.55 // of its size, where that saves a half empty page
	f.Reserve(smallest*high*scale + below)
	scale = min(scale, (f.free()-below)/high)
	width, height := wide*scale, high*scale
	f.within(f.figure(caption), func() { f.drawPicture(p, f.Format.Left(), f.Y, width, height) })
	f.Y += height + 4
	f.caption(lines)
	f.Y += 10
}

// drawPicture draws a picture upright into a box whose upper left corner is at x, y.
func (p *paper) drawPicture(pic Picture, x, y, width, height float64) {
	if p.doc == nil {
		return
	}
	s := &surface{p, 0, 0}
	bottom := p.Format.Height - y - height
	s.Save()
	switch pic.Turn {
	case 1:
		s.Transform(0, -height, width, 0, x, bottom+height)
	case 2:
		s.Transform(-width, 0, 0, -height, x+width, bottom+height)
	case 3:
		s.Transform(0, height, -width, 0, x+width, bottom)
	default:
		s.Transform(width, 0, 0, height, x, bottom)
	}
	p.write("/" + pic.Name + " Do")
	s.Restore()
	p.stroke(charts.Line{Width: 0.3, Colour: charts.Grid})
	p.write(fmt.Sprintf("%.2f %.2f %.2f %.2f re S", x, bottom, width, height))
}
