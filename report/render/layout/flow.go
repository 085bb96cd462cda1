package layout

import (
	"fmt"

	"fieldheld/charts"
	"fieldheld/report/structure"
)

// Flow fills pages from top to bottom. A heading is not set before the block that
// follows it is known, so that it never stands alone at the foot of a page.
type Flow struct {
	*paper
	Y         Points // top of what is free on the present page
	pending   []Heading
	figures   int         // numbered so far
	found     *Pagination // what this layout finds
	earlier   *Pagination // what the layout before found; empty in the first
	furniture Furniture
	prepare   func(string) string // makes a text ready for setting
	fault     error               // the first failure of a drawing
	body      *structure.Element  // to which running text belongs; nil: a paragraph of its own
	feather   Points              // added between the rows of tables, to fill the last page
}

// Options say how a document is laid out.
type Options struct {
	Format    Format
	Typefaces *Typefaces
	Furniture Furniture
	Prepare   func(string) string // makes a text ready for setting, before it is measured; nil leaves texts as they are
	Earlier   *Pagination         // what the layout before found; nil in the first
	Draw      bool                // otherwise everything is only measured
}

// Begin begins the first page of a document.
func Begin(o Options) *Flow {
	f := &Flow{paper: newPaper(o.Format, o.Typefaces, o.Draw), furniture: o.Furniture, prepare: o.Prepare, earlier: o.Earlier}
	if f.earlier == nil {
		f.earlier = newPagination(0)
	}
	if f.prepare == nil {
		f.prepare = func(text string) string { return text }
	}
	f.found = newPagination(f.earlier.feather)
	f.NewPage()
	return f
}

// End ends the document and returns what its layout found. The error is that of the
// first drawing that failed.
func (f *Flow) End() (*Pagination, error) {
	f.found.lastFill = 1 - f.free()/(f.Format.Bottom()-bodyTop)
	return f.found, f.fault
}

// Feather sets the rows of all tables from here on as far apart as fills the last
// page best (see Settle).
func (f *Flow) Feather() { f.feather = f.earlier.feather }

// Folio is the number of the present page, from 1.
func (f *Flow) Folio() int { return f.page }

// Heading is a heading. It waits for the block that follows it.
type Heading struct {
	Level   int // 1 a section, 2 a part of it, 3 a part without entry in the outline
	Text    string
	Anchor  string // name of its place, so that links lead here; "" none
	Outline string // its text in the outline of the file; "" none
	Listed  bool   // in the table of contents too
}

// Pagination is what a layout finds: the pages of anchors, the entries of the
// contents, and the number of pages.
type Pagination struct {
	page     map[string]int
	contents []contentsEntry
	pages    int
	feather  Points  // between rows, of this layout
	lastFill float64 // how much of the last page is filled, 0 to 1
}

type contentsEntry struct {
	level        int
	text, anchor string
}

func newPagination(feather Points) *Pagination {
	return &Pagination{page: map[string]int{}, feather: feather}
}

// PageOf returns the page of an anchor as the layout before found it, 0 in the
// first.
func (f *Flow) PageOf(anchor string) int {
	return f.earlier.page[anchor]
}

// NewPage begins a page and draws its head and foot.
func (f *Flow) NewPage() {
	f.addPage()
	f.Y = bodyTop
	f.found.pages = f.page
	f.within(nil, f.furnish)
}

// Turn begins a page, unless not more than the height is used of the present one.
func (f *Flow) Turn(height Points) {
	if f.Y > bodyTop+height {
		f.NewPage()
	}
}

// free is what is left of the body on the present page.
func (f *Flow) free() Points { return f.Format.Bottom() - f.Y }

// headHeight is what a head takes: the space above it, itself, the space below.
func (f *Flow) headHeight(h Heading, top bool) float64 {
	above, below := f.headSpace(h, top)
	s := h.style()
	return above + below + s.Leading*float64(len(f.types.wrap(s, h.Text, f.Format.Measure())))
}

func (h Heading) style() Style {
	if h.Level == 1 {
		return HeadingStyle
	}
	return subheadingStyle
}

func (f *Flow) headSpace(h Heading, top bool) (above, below float64) {
	switch {
	case h.Level == 1 && top:
		return 4, 6
	case h.Level == 1:
		return 31, 6
	case top:
		return 2, 4
	default:
		return 15, 4
	}
}

// Heading sets a heading before the next block.
func (f *Flow) Heading(h Heading) { f.pending = append(f.pending, h) }

// Reserve makes room for a block of the height, on a new page where the present
// one has not enough left, and sets the headings that wait for it.
func (f *Flow) Reserve(height Points) {
	top := f.Y <= bodyTop
	need := height
	for i, h := range f.pending {
		if h.Level == 1 {
			const least = 110 // of a section there is more at the foot of a page than its head and a line
			need = max(need, least)
		}
		need += f.headHeight(h, top && i == 0)
	}
	if !top && need > f.free() {
		f.NewPage()
	}
	waiting := f.pending
	f.pending = nil
	for _, h := range waiting {
		f.setHead(h)
	}
}

func (f *Flow) setHead(h Heading) {
	top := f.Y <= bodyTop // the rule of the page's head stands there already
	above, below := f.headSpace(h, top)
	s := h.style()
	if h.Level == 1 && !top {
		f.Rule(f.Format.Left(), f.Format.Right(), f.Y+above-9, 0.8, charts.Accent)
	}
	f.Y += above
	f.Anchor(h.Anchor)
	if h.Outline != "" {
		f.Bookmark(h.Level-1, h.Outline, f.Y)
	}
	if h.Listed {
		f.found.contents = append(f.found.contents, contentsEntry{h.Level, h.Outline, h.Anchor})
	}
	f.within(f.tags.root.Add(fmt.Sprintf("H%d", h.Level)), func() {
		for _, line := range f.types.wrap(s, h.Text, f.Format.Measure()) {
			f.Text(f.Format.Left(), f.Y+s.Size*1.02, s, line)
			f.Y += s.Leading
		}
	})
	f.Y += below
}

// Anchor names the present place, so that links lead here and PageOf tells its page.
func (f *Flow) Anchor(name string) {
	if name != "" {
		f.anchor(name, f.Y)
		f.found.page[name] = f.page
	}
}

// Paragraph sets running text.
func (f *Flow) Paragraph(text string) { f.Lines(BodyStyle, text, 0, 6) }

// Note sets a caption or remark in the small quiet style.
func (f *Flow) Note(text string) { f.Lines(CaptionStyle, text, 0, 6) }

// Lines sets a text in a style, indented, with space below. Neither its first
// nor its last line stands alone on a page.
func (f *Flow) Lines(s Style, text string, indent, below Points) {
	lines := f.types.wrap(s, f.prepare(text), f.measureOf(s)-indent)
	var into *structure.Element
	for i, line := range lines {
		together := 1
		if i == 0 || i == len(lines)-2 {
			together = min(2, len(lines)-i)
		}
		if i == 0 && len(lines) == 3 {
			together = 3
		}
		f.Reserve(float64(together) * s.Leading)
		if i == 0 {
			into = f.block() // behind the headings that waited for it
		}
		f.within(into, func() { f.Text(f.Format.Left()+indent, f.Y+s.Size*1.05, s, line) })
		f.Y += s.Leading
	}
	f.Y += below
}

// measureOf is the longest line that reads well in a style: running text does
// not go over the whole width.
func (f *Flow) measureOf(s Style) float64 { return min(f.Format.Measure(), s.Size*52) }

// List sets a list, each item behind a dash.
func (f *Flow) List(items []string) {
	var list *structure.Element
	for i, item := range items {
		below := 2.5
		if i == len(items)-1 {
			below = 6
		}
		lines := f.types.wrap(BodyStyle, f.prepare(item), f.measureOf(BodyStyle)-12)
		f.Reserve(float64(min(len(lines), 3)) * BodyStyle.Leading)
		if i == 0 {
			list = f.tags.root.Add("L")
		}
		entry := list.Add("LI")
		f.within(entry.Add("Lbl"), func() { f.Text(f.Format.Left()+2, f.Y+BodyStyle.Size*1.05, BodyStyle, "–") })
		f.body = entry.Add("LBody")
		f.Lines(BodyStyle, item, 12, below)
		f.body = nil
	}
}

// Figure reserves a figure that is between least and most high, as high as the
// page allows, draws it in that width and height and sets its caption, with its
// number. What it shows is said in words for those who do not see it.
func (f *Flow) Figure(least, most Points, caption, words string, draw func(on charts.Surface, width, height Points) error) {
	f.figures++
	caption = fmt.Sprintf("Figure %d. %s", f.figures, caption)
	captionLines := f.types.wrap(CaptionStyle, f.prepare(caption), f.Format.Measure())
	below := float64(len(captionLines))*CaptionStyle.Leading + 16
	f.Reserve(least + below)
	height := min(most, f.free()-below)
	width := f.Format.Measure()
	f.Draw(height, words, func(s charts.Surface) error { return draw(s, width, height) })
	f.Y += 4
	f.caption(captionLines)
	f.Y += 12
}

// caption sets the lines below a figure or picture.
func (f *Flow) caption(lines []string) {
	f.within(f.tags.root.Add("Caption"), func() {
		for _, line := range lines {
			f.Text(f.Format.Left(), f.Y+CaptionStyle.Size, CaptionStyle, line)
			f.Y += CaptionStyle.Leading
		}
	})
}

// Draw draws over the measure and the next points of the page, without a caption, and
// goes on below. What it shows is said in words for those who do not see it. The first
// drawing that fails is the error of End.
func (f *Flow) Draw(height Points, words string, draw func(charts.Surface) error) {
	f.within(f.figure(words), func() {
		if err := f.area(f.Format.Left(), f.Y, height, draw); err != nil && f.fault == nil {
			f.fault = err
		}
	})
	f.Y += height
}

// figure adds a figure to the structure.
func (f *Flow) figure(words string) *structure.Element {
	e := f.tags.root.Add("Figure")
	if e != nil {
		e.Alt = f.prepare(words)
	}
	return e
}
