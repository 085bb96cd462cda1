package layout

import (
	"strings"

	"fieldheld/charts"
	"fieldheld/report/structure"
)

// Alignment is how the cells of a column stand.
type Alignment int

// The alignments of a column.
const (
	Left    Alignment = iota
	Decimal           // numbers, one above the other on the decimal point
	Right
)

// Column is one column of a table.
type Column struct {
	Head  string // a newline parts lines
	Unit  string // below the head; "" none
	Align Alignment
	Wraps bool // running text, which may take several lines and what width is left
}

// Cell is one cell of a table.
type Cell struct {
	Text  string
	Mark  *charts.Proof // before the text; nil none
	Bold  bool
	Quiet bool   // in grey
	Link  string // anchor that the cell leads to; "" none
}

// Row is one row of a table.
type Row struct {
	Cells  []Cell
	Note   string // set below the cells over the whole width; "" none
	Anchor string // name of the row, so that links lead here; "" none
}

// Table is a table over the measure. Rules stand above it, below its head
// and at its end; after every fifth row a hairline. The head is repeated on each
// page.
type Table struct {
	Columns []Column
	Rows    []Row
	Dense   bool // rows close together, for long tables of numbers
	Narrow  bool // no wider than its contents need

	made *shape // by Introduce; nil before
}

// Texts makes a row of plain cells.
func Texts(values ...string) Row {
	cells := make([]Cell, len(values))
	for i, v := range values {
		cells[i].Text = v
	}
	return Row{Cells: cells}
}

// Add adds a row at the end.
func (t *Table) Add(r Row) { t.Rows = append(t.Rows, r) }

const (
	columnGap = 9.0
	narrowGap = 22.0 // of a table no wider than its contents
	markWide  = 6.2
	markGap   = 4.0
)

// padding is the space above and below the text of each row. Feather is what the
// layout adds to it so that the last page is not left nearly empty.
func (t *Table) padding(feather Points) Points {
	if t.Dense {
		return 0.6 + 0.25*feather
	}
	return 2.6 + feather
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

// Table sets a table. Rows that do not fit go to the next page, below its head.
func (f *Flow) Table(t *Table) {
	s := f.ready(t)
	f.Reserve(f.together(t, s, 0))
	table := f.tags.root.Add("Table")
	f.tableHead(t, s, table)
	for i, r := range t.Rows {
		if n := len(t.Rows); n > 3 && i == n-2 && f.rowHeight(t, s, r)+f.rowHeight(t, s, t.Rows[n-1]) > f.free() {
			f.breakTable(t, s) // the last row does not go to the next page alone
		}
		f.tableRow(t, s, r, table)
		if i%5 == 4 && i < len(t.Rows)-1 && f.free() > s.pitch {
			f.Rule(f.Format.Left(), f.Format.Left()+s.total, f.Y, 0.3, charts.Hair)
		}
	}
	f.Rule(f.Format.Left(), f.Format.Left()+s.total, f.Y, 0.8, charts.Accent)
	f.Y += 10
}

// Introduce makes room for a table and for the text of the height before it, so that
// neither the text nor the headings above it stay behind on another page.
func (f *Flow) Introduce(height Points, t *Table) {
	ahead := height
	for i, h := range f.pending {
		ahead += f.headHeight(h, f.Y <= bodyTop && i == 0)
	}
	f.Reserve(height + f.together(t, f.ready(t), ahead))
}

// ready prepares the texts of a table and finds its shape, once.
func (f *Flow) ready(t *Table) *shape {
	if t.made == nil {
		for i := range t.Rows {
			for k := range t.Rows[i].Cells {
				t.Rows[i].Cells[k].Text = f.prepare(t.Rows[i].Cells[k].Text)
			}
		}
		t.made = f.shapeOf(t)
	}
	return t.made
}

// together is how much of a table stays on one page, behind what stands ahead of it:
// all of it where it is short and little of the present page would stay empty, else
// its head and three rows.
func (f *Flow) together(t *Table, s *shape, ahead Points) float64 {
	least := s.head + 2
	for i := range min(len(t.Rows), 3) {
		least += f.rowHeight(t, s, t.Rows[i])
	}
	const most = 14
	if page := f.Format.Bottom() - bodyTop; len(t.Rows) <= most && f.free()-ahead < 0.3*page {
		whole := s.head + 2
		for _, r := range t.Rows {
			whole += f.rowHeight(t, s, r)
		}
		if whole < 0.5*page {
			return whole
		}
	}
	return least
}

// rowHeight is what a row takes.
func (f *Flow) rowHeight(t *Table, s *shape, r Row) float64 {
	_, lines := f.rowLines(t, s, r)
	return float64(lines)*TableStyle.Leading + 2*s.pad
}

// tableHead sets the head of a table. Only the first belongs to the table; nil for
// those that repeat it on further pages.
func (f *Flow) tableHead(t *Table, s *shape, table *structure.Element) {
	edge := f.Format.Left()
	row := table.Add("TR")
	f.Rule(edge, edge+s.total, f.Y, 0.8, charts.Accent)
	y := f.Y + 3
	for k, c := range t.Columns {
		f.within(row.Header("Column"), func() {
			lines := s.headLines[k]
			for i, line := range lines {
				row := s.headRows - len(lines) + i // heads stand on the last line
				f.headCell(s, k, c, y+float64(row)*tableHeadStyle.Leading, tableHeadStyle, line, i < len(lines)-1 || c.Unit != "")
			}
			if c.Unit != "" {
				f.headCell(s, k, c, y+float64(s.headRows)*tableHeadStyle.Leading, unitStyle, c.Unit, false)
			}
		})
	}
	f.Y += s.head
	f.Rule(edge, edge+s.total, f.Y, 0.4, charts.Accent)
}

// headCell sets a line of the head of a column; behind one that goes on stands a blank.
func (f *Flow) headCell(s *shape, k int, c Column, y float64, st Style, text string, goesOn bool) {
	x := f.Format.Left() + s.x[k]
	if c.Align != Left {
		x += s.width[k] - f.types.width(st, text)
	}
	if goesOn && text != "" {
		text += " "
	}
	f.Text(x, y+st.Size, st, text)
}

// tableRow sets a row, on the next page where it does not fit. A row that is
// higher than a page goes on over the page's end.
func (f *Flow) tableRow(t *Table, s *shape, r Row, table *structure.Element) {
	cells := cellsOf(t, r, table)
	lines, most := f.rowLines(t, s, r)
	for begin := 0; begin < most; {
		room := int((f.free() - 2*s.pad) / TableStyle.Leading)
		whole := int((f.Format.Bottom() - bodyTop - s.head - 2*s.pad) / TableStyle.Leading)
		rest := most - begin
		if room < rest && (rest <= whole || room < 3) {
			f.breakTable(t, s)
			continue
		}
		part := min(rest, room)
		if begin == 0 {
			f.Anchor(r.Anchor)
		}
		f.rowPart(t, s, r, cells, lines, begin, part)
		begin += part
	}
}

// breakTable goes on with the table on a new page.
func (f *Flow) breakTable(t *Table, s *shape) {
	f.Rule(f.Format.Left(), f.Format.Left()+s.total, f.Y, 0.25, charts.Quiet)
	f.NewPage()
	f.within(nil, func() { f.tableHead(t, s, nil) })
}

// rowCells are the elements of a row: one for each column, and one for the note below.
type rowCells struct {
	cells []*structure.Element
	links []*structure.Element // in the cells that lead somewhere; else the cells themselves
	note  *structure.Element
}

// cellsOf adds the elements of a row to a table.
func cellsOf(t *Table, r Row, table *structure.Element) rowCells {
	made := rowCells{cells: make([]*structure.Element, len(r.Cells)), links: make([]*structure.Element, len(r.Cells))}
	row := table.Add("TR")
	for k := range r.Cells {
		made.cells[k] = row.Add("TD")
		made.links[k] = made.cells[k]
		if r.Cells[k].Link != "" {
			made.links[k] = made.cells[k].Add("Link")
		}
	}
	if r.Note != "" {
		if made.note = table.Add("TR").Add("TD"); made.note != nil {
			made.note.Span = len(t.Columns)
		}
	}
	return made
}

// rowLines wraps the cells of a row.
func (f *Flow) rowLines(t *Table, s *shape, r Row) (lines rowText, most int) {
	most = 1
	for k := range r.Cells {
		c := &r.Cells[k]
		if !t.Columns[k].Wraps {
			continue
		}
		if lines.cells == nil {
			lines.cells = make([][]string, len(r.Cells))
		}
		lines.cells[k] = f.types.wrap(cellStyle(c), c.Text, s.width[k]-markSpace(c))
		most = max(most, len(lines.cells[k]))
	}
	lines.above = most
	if r.Note != "" {
		lines.note = f.types.wrap(CaptionStyle, f.prepare(r.Note), s.total)
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

func markSpace(c *Cell) float64 {
	if c.Mark == nil {
		return 0
	}
	return markWide + markGap
}

func cellStyle(c *Cell) Style {
	s := TableStyle
	if c.Bold {
		s = s.Bold()
	}
	switch {
	case c.Link != "":
		s.Colour = charts.Accent
	case c.Quiet:
		s.Colour = charts.Quiet
	}
	return s
}

// rowPart sets some lines of a row.
func (f *Flow) rowPart(t *Table, s *shape, r Row, elements rowCells, lines rowText, begin, count int) {
	top := f.Y
	f.Y += s.pad
	for k := range r.Cells {
		c := &r.Cells[k]
		x := f.Format.Left() + s.x[k]
		baseline := f.Y + TableStyle.Size
		if lines.cells == nil || lines.cells[k] == nil {
			if begin == 0 {
				f.cell(t, s, k, c, elements.links[k], x, baseline)
			}
			continue
		}
		if c.Mark != nil && begin == 0 {
			f.Mark(*c.Mark, x, baseline, markWide)
		}
		f.within(elements.links[k], func() {
			for i := begin; i < min(begin+count, len(lines.cells[k])); i++ {
				f.Text(x+markSpace(c), baseline+float64(i-begin)*TableStyle.Leading, cellStyle(c), lines.cells[k][i])
			}
		})
		f.link(elements.links[k], x, top, s.width[k], float64(count)*TableStyle.Leading+2*s.pad, c.Link, c.Text)
	}
	f.within(elements.note, func() {
		for i := max(begin, lines.above); i < begin+count; i++ {
			f.Text(f.Format.Left(), f.Y+TableStyle.Size+float64(i-begin)*TableStyle.Leading, CaptionStyle, lines.note[i-lines.above])
		}
	})
	f.Y = top + float64(count)*TableStyle.Leading + 2*s.pad
}

// cell sets a cell of one line.
func (f *Flow) cell(t *Table, s *shape, k int, c *Cell, element *structure.Element, x, baseline float64) {
	st := cellStyle(c)
	if c.Mark != nil {
		f.Mark(*c.Mark, x, baseline, markWide)
	}
	at := x + markSpace(c)
	switch t.Columns[k].Align {
	case Decimal:
		at += s.before[k] - f.types.width(st, beforePoint(c.Text))
	case Right:
		at = x + s.width[k] - f.types.width(st, c.Text)
	}
	f.within(element, func() { f.Text(at, baseline, st, c.Text) })
	f.link(element, x, baseline-TableStyle.Size, s.width[k], TableStyle.Leading, c.Link, c.Text)
}

// beforePoint is the part of a number before its decimal point. A text that is
// no number ends at the point.
func beforePoint(text string) string {
	if i := strings.IndexByte(text, '.'); i >= 0 {
		return text[:i]
	}
	return text
}
