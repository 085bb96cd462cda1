package layout

import (
	"image/color"
	"strconv"

	"fieldheld/charts"
	"fieldheld/templates/fonts"
)

// surface lets figures be drawn on a part of a page.
type surface struct {
	paper *paper
	x, y  float64 // of the lower left corner, from that of the page
}

// area draws on an area of the page whose upper left corner is at x, y.
func (p *paper) area(x, y, height float64, draw func(charts.Surface) error) error {
	if p.doc == nil {
		return nil
	}
	s := &surface{p, 0, 0}
	s.Save()
	s.Transform(1, 0, 0, 1, x, p.Format.Height-y-height)
	err := draw(s)
	s.Restore()
	return err
}

// Mark draws the mark of a proof; its lower left corner is at x, y.
func (p *paper) Mark(mark charts.Proof, x, y, size Points) {
	if p.doc != nil {
		p.within(nil, func() { // it stands beside the word that says the same
			charts.Mark(&surface{p, x, p.Format.Height - y}, mark, 0, 0, size)
		})
	}
}

func (s *surface) Save() {
	s.paper.saved = append(s.paper.saved, s.paper.pen)
	s.paper.write("q")
}

func (s *surface) Restore() {
	p := s.paper
	p.write("Q")
	p.pen = p.saved[len(p.saved)-1]
	p.saved = p.saved[:len(p.saved)-1]
	p.pen.font = nil // the library does not know what was restored
}

func (s *surface) Transform(a, b, c, d, e, f float64) {
	var out []byte
	for _, x := range []float64{a, b, c, d} {
		out = append(strconv.AppendFloat(out, x, 'f', 6, 64), ' ')
	}
	out = append(appendNumber(out, e), ' ')
	out = append(appendNumber(out, f), " cm"...)
	s.paper.write(string(out))
}

func (s *surface) Stroke(path []charts.Segment, line charts.Line) {
	s.paper.stroke(line)
	s.path(path, "S")
}

func (s *surface) Fill(path []charts.Segment, colour color.RGBA) {
	s.paper.fill(colour)
	s.path(path, "f")
}

// path writes a path and the operator that paints it.
func (s *surface) path(path []charts.Segment, paint string) {
	out := s.paper.buffer[:0]
	point := func(p charts.Point) {
		out = append(appendNumber(out, p.X+s.x), ' ')
		out = append(appendNumber(out, p.Y+s.y), ' ')
	}
	for _, segment := range path {
		switch segment.Kind {
		case charts.MoveTo:
			point(segment.Points[0])
			out = append(out, "m "...)
		case charts.LineTo:
			point(segment.Points[0])
			out = append(out, "l "...)
		case charts.CurveTo:
			for _, p := range segment.Points {
				point(p)
			}
			out = append(out, "c "...)
		case charts.Close:
			out = append(out, "h "...)
		}
	}
	out = append(out, paint...)
	s.paper.write(string(out))
	s.paper.buffer = out
}

func (s *surface) Text(x, y float64, font charts.Font, colour color.RGBA, text string) {
	s.paper.typeset(x+s.x, -y-s.y, 0, chartStyle(font).In(colour), text)
}

func (s *surface) Width(font charts.Font, text string) float64 {
	return s.paper.types.width(chartStyle(font), text)
}

func chartStyle(font charts.Font) Style {
	cut := fonts.Condensed
	if font.Bold {
		cut = fonts.CondensedBold
	}
	return Style{Cut: cut, Size: font.Size}
}
