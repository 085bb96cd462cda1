package pdf

import (
	"strings"

	"fieldheld/charts"
)

// alignment is how the cells of a column stand.
type alignment int

const (
	left    alignment = iota
	decimal           // numbers, one above the other on the decimal point
	right
)

// column is one column of a table.
type column struct {
	head  string // a line break parts lines
	unit  string // below the head; "" none
	align alignment
	wraps bool // running text, which may take several lines and what width is left
}

// cell is one cell. A cell with a state begins with its mark.
type cell struct {
	text  string
	mark  *charts.Proof
	bold  bool
	quiet bool
	link  string // anchor that the cell leads to
}

// row is one row of a table.
type row struct {
	cells  []cell
	note   string // set below the cells over the whole width
	anchor string // name of the row, so that links lead here
}

// table is a table over the whole width. Rules stand above it, below its head
// and at its end; after every fifth row a hairline. The head is repeated on each
// page.
type table struct {
	columns []column
	rows    []row
	dense   bool // rows close together, for long tables of numbers
	narrow  bool // no wider than its contents need
}

// texts makes a row of plain cells.
func texts(values ...string) row {
	cells := make([]cell, len(values))
	for i, v := range values {
		cells[i].text = v
	}
	return row{cells: cells}
}

func (t *table) add(r row) { t.rows = append(t.rows, r) }

const (
	columnGap = 9.0
	narrowGap = 22.0 // of a table no wider than its contents
	markWide  = 6.2
	markGap   = 4.0
)

// padding is the space above and below the text of each row. Loose is what the
// layout adds to it so that the last page is not left nearly empty.
func (t *table) padding(loose float64) float64 {
	if t.dense {
		return 0.6 + 0.25*loose
	}
	return 2.6 + loose
}

// shape is a table made ready for the width of the page.
type shape struct {
	x, width        []float64 // of each column, from the left margin
	before          []float64 // of decimal columns: width before the point
	headLines       [][]string
	headRows        int
	units           bool
	head, pitch     float64 // heights of the head and of a row of one line
	total, gap, pad float64
}

// table sets a table.
func (f *flow) table(t *table) {
	for i := range t.rows {
		for k := range t.rows[i].cells {
			t.rows[i].cells[k].text = clean(t.rows[i].cells[k].text)
		}
	}
	s := f.shapeOf(t)
	f.reserve(f.together(t, s))
	f.tableHead(t, s)
	for i, r := range t.rows {
		if n := len(t.rows); n > 3 && i == n-2 && f.rowHeight(t, s, r)+f.rowHeight(t, s, t.rows[n-1]) > f.free() {
			f.breakTable(t, s) // the last row does not go to the next page alone
		}
		f.tableRow(t, s, r)
		if i%5 == 4 && i < len(t.rows)-1 && f.free() > s.pitch {
			f.rule(f.format.left(), f.format.left()+s.total, f.y, 0.3, charts.Hair)
		}
	}
	f.rule(f.format.left(), f.format.left()+s.total, f.y, 0.8, charts.Accent)
	f.y += 10
}

// together is how much of a table stays on one page: all of it where it is short
// and little of the present page would stay empty, else its head and three rows.
func (f *flow) together(t *table, s *shape) float64 {
	least := s.head + 2
	for i := range min(len(t.rows), 3) {
		least += f.rowHeight(t, s, t.rows[i])
	}
	const most = 14
	if page := f.format.bottom() - bodyTop; len(t.rows) <= most && f.free() < 0.3*page {
		whole := s.head + 2
		for _, r := range t.rows {
			whole += f.rowHeight(t, s, r)
		}
		if whole < 0.5*page {
			return whole
		}
	}
	return least
}

// rowHeight is what a row takes.
func (f *flow) rowHeight(t *table, s *shape, r row) float64 {
	_, lines := f.rowLines(t, s, r)
	return float64(lines)*tableStyle.leading + 2*s.pad
}

func (f *flow) tableHead(t *table, s *shape) {
	edge := f.format.left()
	f.rule(edge, edge+s.total, f.y, 0.8, charts.Accent)
	y := f.y + 3
	for k, c := range t.columns {
		lines := s.headLines[k]
		for i, line := range lines {
			row := s.headRows - len(lines) + i // heads stand on the last line
			f.headCell(s, k, c, y+float64(row)*tableHead.leading, tableHead, line)
		}
		if c.unit != "" {
			f.headCell(s, k, c, y+float64(s.headRows)*tableHead.leading, unitStyle, c.unit)
		}
	}
	f.y += s.head
	f.rule(edge, edge+s.total, f.y, 0.4, charts.Accent)
}

func (f *flow) headCell(s *shape, k int, c column, y float64, st style, text string) {
	x := f.format.left() + s.x[k]
	if c.align != left {
		x += s.width[k] - f.types.width(st, text)
	}
	f.text(x, y+st.size, st, text)
}

// tableRow sets a row, on the next page where it does not fit. A row that is
// higher than a page goes on over the page's end.
func (f *flow) tableRow(t *table, s *shape, r row) {
	lines, most := f.rowLines(t, s, r)
	for begin := 0; begin < most; {
		room := int((f.free() - 2*s.pad) / tableStyle.leading)
		whole := int((f.format.bottom() - bodyTop - s.head - 2*s.pad) / tableStyle.leading)
		rest := most - begin
		if room < rest && (rest <= whole || room < 3) {
			f.breakTable(t, s)
			continue
		}
		part := min(rest, room)
		if begin == 0 {
			f.mention(r.anchor)
		}
		f.rowPart(t, s, r, lines, begin, part)
		begin += part
	}
}

// breakTable goes on with the table on a new page.
func (f *flow) breakTable(t *table, s *shape) {
	f.rule(f.format.left(), f.format.left()+s.total, f.y, 0.25, charts.Quiet)
	f.newPage()
	f.tableHead(t, s)
}

// rowLines wraps the cells of a row.
func (f *flow) rowLines(t *table, s *shape, r row) (lines rowText, most int) {
	most = 1
	for k := range r.cells {
		c := &r.cells[k]
		if !t.columns[k].wraps {
			continue
		}
		if lines.cells == nil {
			lines.cells = make([][]string, len(r.cells))
		}
		lines.cells[k] = f.types.wrap(cellStyle(c), c.text, s.width[k]-markSpace(c))
		most = max(most, len(lines.cells[k]))
	}
	lines.above = most
	if r.note != "" {
		lines.note = f.types.wrap(captionStyle, clean(r.note), s.total)
	}
	return lines, most + len(lines.note)
}

// rowText is a row cut into lines: those of the cells that wrap, and the note
// below them.
type rowText struct {
	cells [][]string // nil for a cell that does not wrap
	note  []string
	above int // lines of the cells
}

func markSpace(c *cell) float64 {
	if c.mark == nil {
		return 0
	}
	return markWide + markGap
}

func cellStyle(c *cell) style {
	s := tableStyle
	if c.bold {
		s = s.bold()
	}
	switch {
	case c.link != "":
		s.colour = charts.Accent
	case c.quiet:
		s.colour = charts.Quiet
	}
	return s
}

// rowPart sets some lines of a row.
func (f *flow) rowPart(t *table, s *shape, r row, lines rowText, begin, count int) {
	top := f.y
	f.y += s.pad
	for k := range r.cells {
		c := &r.cells[k]
		x := f.format.left() + s.x[k]
		baseline := f.y + tableStyle.size
		if lines.cells == nil || lines.cells[k] == nil {
			if begin == 0 {
				f.cell(t, s, k, c, x, baseline)
			}
			continue
		}
		if c.mark != nil && begin == 0 {
			f.mark(*c.mark, x, baseline, markWide)
		}
		for i := begin; i < min(begin+count, len(lines.cells[k])); i++ {
			f.text(x+markSpace(c), baseline+float64(i-begin)*tableStyle.leading, cellStyle(c), lines.cells[k][i])
		}
		f.link(x, top, s.width[k], float64(count)*tableStyle.leading+2*s.pad, c.link)
	}
	for i := max(begin, lines.above); i < begin+count; i++ {
		f.text(f.format.left(), f.y+tableStyle.size+float64(i-begin)*tableStyle.leading, captionStyle, lines.note[i-lines.above])
	}
	f.y = top + float64(count)*tableStyle.leading + 2*s.pad
}

// cell sets a cell of one line.
func (f *flow) cell(t *table, s *shape, k int, c *cell, x, baseline float64) {
	st := cellStyle(c)
	if c.mark != nil {
		f.mark(*c.mark, x, baseline, markWide)
	}
	at := x + markSpace(c)
	switch t.columns[k].align {
	case decimal:
		at += s.before[k] - f.types.width(st, beforePoint(c.text))
	case right:
		at = x + s.width[k] - f.types.width(st, c.text)
	}
	f.text(at, baseline, st, c.text)
	f.link(x, baseline-tableStyle.size, s.width[k], tableStyle.leading, c.link)
}

// beforePoint is the part of a number before its decimal point. A text that is
// no number ends at the point.
func beforePoint(text string) string {
	if i := strings.IndexByte(text, '.'); i >= 0 {
		return text[:i]
	}
	return text
}
