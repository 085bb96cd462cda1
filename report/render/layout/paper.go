package layout

import (
	"fmt"
	"image/color"
	"io"
	"strconv"

	"github.com/go-pdf/fpdf"

	"fieldheld/charts"
	"fieldheld/report/structure"
)

// paper is the pages that are drawn on. While a layout is only measured, doc is
// nil and nothing is drawn; everything else happens in the same way.
type paper struct {
	Format Format
	types  *Typefaces
	doc    *fpdf.Fpdf
	page   int
	pen    pen
	saved  []pen
	known  map[string]bool // fonts that the document has
	links  map[string]int  // the document's number of an anchor
	buffer []byte
	tags   tagging
}

// pen is the graphics state of the page.
type pen struct {
	font         *measured
	size         float64
	fill, stroke color.RGBA
	width        float64
	dashes       string
}

// newPen is the state at the begin of a page; its width and dashes are none that
// a line has, so that the first line sets them.
func newPen() pen {
	return pen{fill: color.RGBA{A: 255}, stroke: color.RGBA{A: 255}, width: -1, dashes: "[] 0 d"}
}

func newPaper(f Format, types *Typefaces, draw bool) *paper {
	p := &paper{Format: f, types: types, known: map[string]bool{}, links: map[string]int{}}
	if !draw {
		return p
	}
	p.doc = fpdf.NewCustom(&fpdf.InitType{
		OrientationStr: "P", UnitStr: "pt", Size: fpdf.SizeType{Wd: f.Width, Ht: f.Height},
	})
	p.doc.SetAutoPageBreak(false, 0)
	p.doc.SetMargins(0, 0, 0)
	p.doc.SetCatalogSort(true)
	p.doc.SetCompression(true)
	p.tags.root = &structure.Element{Kind: "Document"}
	return p
}

// Output writes the document that was drawn as a PDF file.
func (p *paper) Output(w io.Writer) error {
	p.endTag()
	return p.doc.Output(w)
}

func (p *paper) addPage() {
	p.page++
	p.pen = newPen()
	if p.doc != nil {
		p.endTag()
		p.tags.pieces, p.tags.links = 0, 0
		p.doc.AddPage()
		p.pen.font = nil // the library repeats its font on a new page; ours is set again
	}
}

// write sends operators of the page's content.
func (p *paper) write(operators string) {
	p.tag()
	p.doc.RawWriteStr(operators)
}

// Text sets a text whose baseline begins at x, y and returns its width. The text
// is one line.
func (p *paper) Text(x, y Points, s Style, text string) Points {
	return p.typeset(x, y, p.Format.Height, s, text)
}

// typeset is text on a surface of the given height.
func (p *paper) typeset(x, y, height float64, s Style, text string) float64 {
	if p.doc == nil {
		return p.types.width(s, text)
	}
	begin := x
	p.tag()
	p.fill(s.Colour)
	for _, part := range p.types.pieces(s, text) {
		p.setFont(part.font, s.Size)
		p.doc.Text(x, y+p.Format.Height-height, part.text)
		x += part.width * s.Size / 1000
	}
	return x - begin
}

func (p *paper) setFont(m *measured, size float64) {
	if p.pen.font == m && p.pen.size == size {
		return
	}
	if !p.known[m.face.Name] {
		p.known[m.face.Name] = true
		p.doc.AddUTF8FontFromBytes(m.face.Name, "", m.face.Data)
	}
	p.doc.SetFont(m.face.Name, "", size)
	p.pen.font, p.pen.size = m, size
}

// TextRight sets a text that ends at x.
func (p *paper) TextRight(x, y Points, s Style, text string) {
	p.Text(x-p.types.width(s, text), y, s, text)
}

// TextCentre sets a text around x.
func (p *paper) TextCentre(x, y Points, s Style, text string) {
	p.Text(x-p.types.width(s, text)/2, y, s, text)
}

// fill sets the colour of what is filled, text too.
func (p *paper) fill(c color.RGBA) {
	if p.pen.fill != c {
		p.pen.fill = c
		p.write(colourOperands(c) + " rg")
	}
}

func colourOperands(c color.RGBA) string {
	part := func(v uint8) string { return strconv.FormatFloat(float64(v)/255, 'g', 3, 64) }
	return part(c.R) + " " + part(c.G) + " " + part(c.B)
}

// Rule draws a horizontal rule of the width, which is how heavy it is.
func (p *paper) Rule(from, to, y, width Points, c color.RGBA) {
	if p.doc == nil {
		return
	}
	p.within(nil, func() { // a rule says nothing
		p.stroke(charts.Line{Width: width, Colour: c})
		y = p.Format.Height - y
		p.write(fmt.Sprintf("%.2f %.2f m %.2f %.2f l S", from, y, to, y))
	})
}

// stroke sets how lines are drawn.
func (p *paper) stroke(line charts.Line) {
	if p.pen.stroke != line.Colour {
		p.pen.stroke = line.Colour
		p.write(colourOperands(line.Colour) + " RG")
	}
	if p.pen.width != line.Width {
		p.pen.width = line.Width
		p.write(number(line.Width) + " w")
	}
	dashes := "["
	for i, d := range line.Dashes {
		if i > 0 {
			dashes += " "
		}
		dashes += number(d)
	}
	if dashes += "] 0 d"; p.pen.dashes != dashes {
		p.pen.dashes = dashes
		p.write(dashes)
	}
}

// number writes a coordinate as short as two decimals allow.
func number(x float64) string { return string(appendNumber(nil, x)) }

func appendNumber(b []byte, x float64) []byte {
	begin := len(b)
	b = strconv.AppendFloat(b, x, 'f', 2, 64)
	end := len(b)
	for b[end-1] == '0' {
		end--
	}
	if b[end-1] == '.' {
		end--
	}
	if string(b[begin:end]) == "-0" {
		return append(b[:begin], '0')
	}
	return b[:end]
}

// linkNumber returns the document's number of an anchor.
func (p *paper) linkNumber(name string) int {
	n, ok := p.links[name]
	if !ok {
		n = p.doc.AddLink()
		p.links[name] = n
	}
	return n
}

// link makes an area, whose upper left corner is at x, y, lead to an anchor; "" leads
// nowhere. The link is a part of an element, and says in words where it leads.
func (p *paper) link(of *structure.Element, x, y, width, height Points, anchor, words string) {
	if p.doc != nil && anchor != "" {
		p.doc.Link(x, y, width, height, p.linkNumber(anchor))
		p.tags.links++
		of.Kids = append(of.Kids, structure.Kid{Page: p.page, Link: p.tags.links, Text: words})
	}
}

// anchor names a place of the current page.
func (p *paper) anchor(name string, y float64) {
	if p.doc != nil {
		p.doc.SetLink(p.linkNumber(name), y-4, p.page)
	}
}

// Bookmark adds an entry to the outline of the file, which leads to y on the present
// page; level 0 is the outermost.
func (p *paper) Bookmark(level int, title string, y Points) {
	if p.doc == nil {
		return
	}
	p.setFont(p.types.cuts[0].primary, BodyStyle.Size) // the library encodes the title by its current font
	p.doc.Bookmark(title, level, y-4)
}
