package pdf

import (
	"fmt"

	"fieldheld/charts"
)

// flow fills pages from top to bottom. A head is not set before the block that
// follows it is known, so that it never stands alone at the foot of a page.
type flow struct {
	*paper
	y       float64 // top of what is free
	pending []head
	figures int       // numbered so far
	found   *register // what this layout finds
	earlier *register // what the layout before found; empty in the first
	begun   func()    // draws what stands on every page
	fault   error     // the first failure of a drawing
	loose   float64   // points between the rows of the appendices, to fill the last page
}

// head is a heading that waits for its block.
type head struct {
	level    int // 1 a section, 2 a part of it, 3 a part without entry in the outline
	text     string
	anchor   string
	bookmark string // text of the outline; "" none
	listed   bool   // in the contents too
}

// register is what a layout finds: the pages of anchors, the entries of the
// contents, and the number of pages.
type register struct {
	page     map[string]int
	contents []contentsEntry
	pages    int
	loose    float64
	lastFill float64 // how much of the last page is filled, 0 to 1
}

type contentsEntry struct {
	level        int
	text, anchor string
}

func newRegister(loose float64) *register {
	return &register{page: map[string]int{}, loose: loose}
}

// pageOf returns the page of an anchor as the layout before found it, 0 in the
// first.
func (f *flow) pageOf(anchor string) int {
	return f.earlier.page[anchor]
}

// newPage begins a page and draws its head and foot.
func (f *flow) newPage() {
	f.addPage()
	f.y = bodyTop
	f.found.pages = f.page
	f.begun()
}

func (f *flow) free() float64 { return f.format.bottom() - f.y }

// headHeight is what a head takes: the space above it, itself, the space below.
func (f *flow) headHeight(h head, top bool) float64 {
	above, below := f.headSpace(h, top)
	s := h.style()
	return above + below + s.leading*float64(len(f.types.wrap(s, h.text, f.format.body())))
}

func (h head) style() style {
	if h.level == 1 {
		return headStyle
	}
	return subheadStyle
}

func (f *flow) headSpace(h head, top bool) (above, below float64) {
	switch {
	case h.level == 1 && top:
		return 4, 6
	case h.level == 1:
		return 31, 6
	case top:
		return 2, 4
	default:
		return 15, 4
	}
}

// heading sets a heading before the next block.
func (f *flow) heading(h head) { f.pending = append(f.pending, h) }

// reserve makes room for a block of the height, on a new page where the present
// one has not enough left, and sets the headings that wait for it.
func (f *flow) reserve(height float64) {
	top := f.y <= bodyTop
	need := height
	for i, h := range f.pending {
		if h.level == 1 {
			const least = 110 // of a section there is more at the foot of a page than its head and a line
			need = max(need, least)
		}
		need += f.headHeight(h, top && i == 0)
	}
	if !top && need > f.free() {
		f.newPage()
	}
	waiting := f.pending
	f.pending = nil
	for _, h := range waiting {
		f.setHead(h)
	}
}

func (f *flow) setHead(h head) {
	top := f.y <= bodyTop // the rule of the page's head stands there already
	above, below := f.headSpace(h, top)
	s := h.style()
	if h.level == 1 && !top {
		f.rule(f.format.left(), f.format.right(), f.y+above-9, 0.8, charts.Accent)
	}
	f.y += above
	f.mention(h.anchor)
	if h.bookmark != "" {
		f.bookmark(h.level-1, h.bookmark, f.y)
	}
	if h.listed {
		f.found.contents = append(f.found.contents, contentsEntry{h.level, h.bookmark, h.anchor})
	}
	for _, line := range f.types.wrap(s, h.text, f.format.body()) {
		f.text(f.format.left(), f.y+s.size*1.02, s, line)
		f.y += s.leading
	}
	f.y += below
}

// mention names the present place, so that links lead here.
func (f *flow) mention(anchor string) {
	if anchor != "" {
		f.anchor(anchor, f.y)
		f.found.page[anchor] = f.page
	}
}

// paragraph sets running text.
func (f *flow) paragraph(text string) { f.lines(textStyle, text, 0, 6) }

// note sets a caption or remark in the small quiet style.
func (f *flow) note(text string) { f.lines(captionStyle, text, 0, 6) }

// lines sets a text in a style, indented, with space below. Neither its first
// nor its last line stands alone on a page.
func (f *flow) lines(s style, text string, indent, below float64) {
	lines := f.types.wrap(s, clean(text), f.measureOf(s)-indent)
	for i, line := range lines {
		together := 1
		if i == 0 || i == len(lines)-2 {
			together = min(2, len(lines)-i)
		}
		if i == 0 && len(lines) == 3 {
			together = 3
		}
		f.reserve(float64(together) * s.leading)
		f.text(f.format.left()+indent, f.y+s.size*1.05, s, line)
		f.y += s.leading
	}
	f.y += below
}

// measureOf is the longest line that reads well in a style: running text does
// not go over the whole width.
func (f *flow) measureOf(s style) float64 { return min(f.format.body(), s.size*52) }

// bullets sets a list.
func (f *flow) bullets(items []string) {
	for i, item := range items {
		below := 2.5
		if i == len(items)-1 {
			below = 6
		}
		lines := f.types.wrap(textStyle, clean(item), f.measureOf(textStyle)-12)
		f.reserve(float64(min(len(lines), 3)) * textStyle.leading)
		f.text(f.format.left()+2, f.y+textStyle.size*1.05, textStyle, "–")
		f.lines(textStyle, item, 12, below)
	}
}

// plot reserves a figure that is between least and most high, as high as the
// page allows, draws it and sets its caption.
func (f *flow) plot(least, most float64, caption string, draw func(charts.Surface, float64, float64) error) {
	f.figures++
	caption = fmt.Sprintf("Figure %d. %s", f.figures, caption)
	captionLines := f.types.wrap(captionStyle, clean(caption), f.format.body())
	below := float64(len(captionLines))*captionStyle.leading + 16
	f.reserve(least + below)
	height := min(most, f.free()-below)
	width := f.format.body()
	err := f.figure(f.format.left(), f.y, height, func(s charts.Surface) error { return draw(s, width, height) })
	if err != nil && f.fault == nil {
		f.fault = err
	}
	f.y += height + 4
	for _, line := range captionLines {
		f.text(f.format.left(), f.y+captionStyle.size, captionStyle, line)
		f.y += captionStyle.leading
	}
	f.y += 12
}
