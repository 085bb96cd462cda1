package layout

import (
	"strconv"

	"fieldheld/report/structure"
)

// tagging is how what is drawn is told apart by the elements that it belongs to.
type tagging struct {
	root    *structure.Element // the document; nil while it is only measured
	current *structure.Element // to which what is drawn now belongs; nil: furniture
	open    bool               // a marked content is open on the page, of the element in opened
	opened  *structure.Element
	pieces  int // marked contents of the page so far
	links   int // links of the page so far
}

// Structure is the logical structure of the document that was drawn.
func (p *paper) Structure() *structure.Element { return p.tags.root }

// within lets everything that is drawn belong to an element; nil is furniture.
func (p *paper) within(e *structure.Element, draw func()) {
	before := p.tags.current
	p.tags.current = e
	draw()
	p.tags.current = before
}

// tag opens the marked content of the present element before something is drawn,
// where it is not open yet.
func (p *paper) tag() {
	t := &p.tags
	if t.open && t.opened == t.current {
		return
	}
	p.endTag()
	t.open, t.opened = true, t.current
	if t.current == nil {
		p.doc.RawWriteStr("/Artifact BMC")
		return
	}
	p.doc.RawWriteStr("/" + t.current.Kind + " <</MCID " + strconv.Itoa(t.pieces) + ">> BDC")
	t.current.Kids = append(t.current.Kids, structure.Kid{Page: p.page, Content: t.pieces})
	t.pieces++
}

// endTag closes the marked content that is open, before the page ends.
func (p *paper) endTag() {
	if p.tags.open {
		p.tags.open = false
		p.doc.RawWriteStr("EMC")
	}
}

// Tagged adds an element of a kind, a standard structure type, to the document;
// everything that is drawn belongs to it.
func (f *Flow) Tagged(kind string, draw func()) { f.within(f.tags.root.Add(kind), draw) }

// block returns the element for a block of running text: that which asked for the
// text, as an item of a list does, or a paragraph of its own.
func (f *Flow) block() *structure.Element {
	if f.body != nil {
		return f.body
	}
	if f.tags.current != nil {
		return f.tags.current
	}
	return f.tags.root.Add("P")
}
