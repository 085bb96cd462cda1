package record

import (
	"bytes"
	"fmt"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// reader reads the cells of rows, and keeps what they show. Every chunk that is
// parsed beside others has one of its own.
type reader struct {
	*layout
	seen   evidence
	memo   notation.Memo
	checks int // rows looked at for another header
}

// fault says why a row cannot be trusted as a whole, or nothing.
func (r *reader) fault(row *table.Row) string {
	if row.Fault != "" {
		return row.Fault
	}
	if row.NoLineEnd {
		if reason := r.end.cut(r.layout, row); reason != "" {
			return reason
		}
	}
	if len(row.Cells) > len(r.headings) {
		for _, c := range row.Cells[len(r.headings):] {
			if len(c) > 0 {
				return r.tooMany(row)
			}
		}
	}
	return ""
}

func (r *reader) tooMany(row *table.Row) string {
	reason := fmt.Sprintf("the row has %d cells where the header has %d", len(row.Cells), len(r.headings))
	if r.delimiter == ',' {
		reason += "; its numbers may have decimal commas"
	}
	return reason
}

// noData is the reason against a row that holds no data, and needs none.
const noData = "no data"

// verdict looks again at a row that could not be read: it may hold no data, or
// show that another table begins.
func (r *reader) verdict(row *table.Row, reason string) string {
	switch {
	case row.Empty(), len(row.Line) == 1 && row.Line[0] == endOfText, r.again(row):
		return noData
	case bytes.IndexByte(row.Line, 0) >= 0:
		return "the row holds zero bytes; the logger seems to have lost power"
	case r.seen.second == 0 && r.checks < mostChecks:
		r.checks++
		if r.otherHeader(row) {
			r.seen.second = row.Number
		}
	}
	return reason
}

// endOfText is the mark that some old systems put behind a text.
const endOfText = 0x1A

// mostChecks is how many unreadable rows of a chunk are looked at for another header.
const mostChecks = 100

// again reports whether the row stands above the data too: the header, the row
// of units or a line before them, where one log was written behind another.
func (r *reader) again(row *table.Row) bool {
	if table.SameCells(row.Cells, r.header.Cells) || r.units != nil && table.SameCells(row.Cells, r.units) {
		return true
	}
	for i := range r.preamble {
		if table.SameCells(row.Cells, r.preamble[i].Cells) {
			return true
		}
	}
	return false
}

// otherHeader reports whether the row is the header, or the row of units, of a
// table with other columns or units.
func (r *reader) otherHeader(row *table.Row) bool {
	if r.units != nil && r.isUnitRow(row) {
		return true
	}
	if !couldBeHeader(row) {
		return false
	}
	other := layout{kind: r.kind, entry: r.entry}
	if r.entry.NoHeader {
		other.entry = table.Entry{} // numbers of columns suit every row
	}
	other.name(row.Cells)
	return other.complete()
}

// number reads a number, or says why it cannot.
func (r *reader) number(row *table.Row, c *column) (notation.Number, string) {
	cell := c.of(row)
	if c.suffix != "" {
		number := c.cutSuffix(cell)
		if len(number) == len(cell) && len(cell) > 0 {
			return notation.Number{}, c.unreadable(cell, "number with the unit "+c.suffix+" of the rows before")
		}
		cell = number
	}
	n, ok := r.numbers.Parse(cell)
	if !r.markShown {
		r.seen.marks.look(cell, row.Number, c)
	}
	if ok {
		return n, ""
	}
	return n, c.unreadable(cell, "number")
}

// unreadable says that a cell is not what its column holds.
func (c *column) unreadable(cell []byte, what string) string {
	if len(cell) == 0 {
		return "the cell of “" + c.heading.text + "” is empty"
	}
	return table.Shown(cell) + " in “" + c.heading.text + "” is no " + what
}

// positive reads a number that its column's unit turns into a quantity that is
// not negative, or says why it cannot.
func (r *reader) positive(row *table.Row, c *column, what string) (float64, notation.Number, string) {
	n, reason := r.number(row, c)
	if reason != "" {
		return 0, n, reason
	}
	if value := c.convert(n.Value); value >= 0 && value <= 1e300 {
		return value, n, ""
	}
	return 0, n, c.unreadable(c.of(row), "possible "+what)
}

// field reads a field strength, or says why it cannot.
func (r *reader) field(row *table.Row, c *column) (quantity.FieldStrength, notation.Number, string) {
	value, n, reason := r.positive(row, c, "field strength")
	return quantity.FieldStrength(value), n, reason
}

// power reads a power, or says why it cannot.
func (r *reader) power(row *table.Row, c *column) (quantity.Power, string) {
	value, _, reason := r.positive(row, c, "power")
	return quantity.Power(value), reason
}

// frequency reads a frequency above zero, or says why it cannot.
func (r *reader) frequency(row *table.Row, c *column) (quantity.Frequency, notation.Number, string) {
	value, n, reason := r.positive(row, c, "frequency")
	if reason == "" && value == 0 {
		reason = c.unreadable(c.of(row), "possible frequency")
	}
	return quantity.Frequency(value), n, reason
}

// stamp reads a time, or says why it cannot.
func (r *reader) stamp(row *table.Row, c *column) (notation.Stamp, string) {
	cell, date := c.of(row), c.date.of(row)
	if s, ok := r.memo.Recall(cell, date); ok {
		return s, ""
	}
	s, evidence, ok := r.clock.Parse(cell, date)
	if !r.orderShown {
		r.seen.look(cell, date, evidence, ok, row.Number)
	}
	switch {
	case ok && s.Form == notation.TimeOfDay && c.date != nil:
		return s, c.date.unreadable(date, "date")
	case ok:
		r.memo.Learn(&r.clock, cell, date, s)
		return s, ""
	case len(cell) > 0 && len(date) > 0:
		cell = bytes.Join([][]byte{date, cell}, []byte(" "))
	}
	return s, c.unreadable(cell, "time") + timeTrouble(cell)
}

// timeTrouble says what is known to be wrong with a time that cannot be read.
func timeTrouble(cell []byte) string {
	_, an := notation.LeadingNumber(cell)
	if an == 0 || an > 2 || an == len(cell) {
		return zoneTrouble(cell)
	}
	_, bn := notation.LeadingNumber(cell[an+1:])
	at := an + 1 + bn
	if separator := cell[an]; bn == 0 || at >= len(cell) || cell[at] != separator || separator == ':' {
		return ""
	}
	if _, cn := notation.LeadingNumber(cell[at+1:]); cn == 2 {
		return "; a year of two digits does not show which part of the date it is, which takes a time_format in the job sheet's entry"
	}
	return zoneTrouble(cell)
}

// zoneTrouble says that letters behind a time do not tell its zone.
func zoneTrouble(cell []byte) string {
	at := bytes.LastIndexByte(cell, ' ') + 1
	for _, b := range cell[at:] {
		if b < 'A' || b > 'Z' {
			return ""
		}
	}
	if at == 0 || at == len(cell) {
		return ""
	}
	zone := table.Text(cell[at:])
	return "; the letters " + zone + " do not tell the zone: state it with time_zone, and write them at the end of a time_format"
}

// text returns the cell of a column as text.
func (r *reader) text(row *table.Row, c table.Column) string {
	return table.Text(r.columns[c].of(row))
}
