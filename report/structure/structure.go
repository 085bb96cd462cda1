// Package structure is the logical structure of a document, for those who hear it read
// or reflow it: its parts in reading order, and where on the pages they stand
// (ISO 32000-1, 14.7 and 14.8; ISO 14289-1).
package structure

// Element is a part of a document. What no element holds is furniture of the pages and
// is passed over.
type Element struct {
	Kind  string // standard structure type: "H1", "P", "Table", "TR", "TD", …
	Alt   string // of a figure: what it shows, in words
	Scope string // of a header cell: "Column" or "Row"
	Span  int    // how many columns a cell takes, where it takes more than one
	Kids  []Kid  // in reading order
}

// Kid is one part of an element: another element, or something on a page.
type Kid struct {
	Element *Element // nil where it is something on a page
	Page    int      // from 1
	Content int      // number of a marked content of the page, from 0
	Link    int      // number of a link of the page, from 1, in the order in which they were made; 0 for content
	Text    string   // of a link: where it leads, in words
}

// Add adds an element to another one and returns it; to none it adds nothing and
// returns none, as in a layout that is only measured.
func (e *Element) Add(kind string) *Element {
	if e == nil {
		return nil
	}
	kid := &Element{Kind: kind}
	e.Kids = append(e.Kids, Kid{Element: kid})
	return kid
}

// Header adds a header cell of a table, of a scope: "Column" or "Row".
func (e *Element) Header(scope string) *Element {
	cell := e.Add("TH")
	if cell != nil {
		cell.Scope = scope
	}
	return cell
}

// Walk visits an element and all below it, in reading order.
func (e *Element) Walk(visit func(*Element)) {
	visit(e)
	for i := range e.Kids {
		if kid := e.Kids[i].Element; kid != nil {
			kid.Walk(visit)
		}
	}
}
