package record

import (
	"bytes"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
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
func (r *reader) fault(row *table.Row) wording.Text {
	if !row.Fault.IsZero() {
		return row.Fault
	}
	if row.NoLineEnd {
		if reason := r.end.cut(r.layout, row); !reason.IsZero() {
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
	return wording.Text{}
}

func (r *reader) tooMany(row *table.Row) wording.Text {
	return wording.Say("row.too-many-cells", wording.Values{"cells": len(row.Cells), "headings": len(r.headings), "commas": r.delimiter == ','})
}

// verdict looks again at a row that could not be read: it may hold no data, or
// show that another table begins. It needs no reason where it holds no data.
func (r *reader) verdict(row *table.Row, reason wording.Text) (why wording.Text, noData bool) {
	switch {
	case row.Empty(), len(row.Line) == 1 && row.Line[0] == endOfText, r.again(row):
		return wording.Text{}, true
	case bytes.IndexByte(row.Line, 0) >= 0:
		return wording.Say("row.zero-bytes", nil), false
	case r.seen.second == 0 && r.checks < mostChecks:
		r.checks++
		if r.otherHeader(row) {
			r.seen.second = row.Number
		}
	}
	return reason, false
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
func (r *reader) number(row *table.Row, c *column) (notation.Number, wording.Text) {
	cell := c.of(row)
	if c.suffix != "" {
		number := c.cutSuffix(cell)
		if len(number) == len(cell) && len(cell) > 0 {
			return notation.Number{}, c.unreadable(cell, wording.Say("cell.number-with-unit", wording.Values{"unit": c.suffix}))
		}
		cell = number
	}
	n, ok := r.numbers.Parse(cell)
	if !r.markShown {
		r.seen.marks.look(cell, row.Number, c)
	}
	if ok {
		return n, wording.Text{}
	}
	return n, c.unreadable(cell, wording.Say("cell.number", nil))
}

// unreadable says that a cell is not what its column holds.
func (c *column) unreadable(cell []byte, what wording.Text) wording.Text {
	if len(cell) == 0 {
		return wording.Say("cell.empty", wording.Values{"heading": c.heading.text})
	}
	return wording.Say("cell.unreadable", wording.Values{"found": table.Shown(cell), "heading": c.heading.text, "what": what})
}

// positive reads a number that its column's unit turns into a quantity that is
// not negative, or says why it cannot.
func (r *reader) positive(row *table.Row, c *column, what wording.Text) (float64, notation.Number, wording.Text) {
	n, reason := r.number(row, c)
	if !reason.IsZero() {
		return 0, n, reason
	}
	if value := c.convert(n.Value); value >= 0 && value <= 1e300 {
		return value, n, wording.Text{}
	}
	return 0, n, c.unreadable(c.of(row), what)
}

// field reads a field strength, or says why it cannot.
func (r *reader) field(row *table.Row, c *column) (quantity.FieldStrength, notation.Number, wording.Text) {
	value, n, reason := r.positive(row, c, wording.Say("cell.field-strength", nil))
	return quantity.FieldStrength(value), n, reason
}

// power reads a power, or says why it cannot.
func (r *reader) power(row *table.Row, c *column) (quantity.Power, wording.Text) {
	value, _, reason := r.positive(row, c, wording.Say("cell.power", nil))
	return quantity.Power(value), reason
}

// frequency reads a frequency above zero, or says why it cannot.
func (r *reader) frequency(row *table.Row, c *column) (quantity.Frequency, notation.Number, wording.Text) {
	value, n, reason := r.positive(row, c, wording.Say("cell.frequency", nil))
	if reason.IsZero() && value == 0 {
		reason = c.unreadable(c.of(row), wording.Say("cell.frequency", nil))
	}
	return quantity.Frequency(value), n, reason
}

// stamp reads a time, or says why it cannot.
func (r *reader) stamp(row *table.Row, c *column) (notation.Stamp, wording.Text) {
	cell, date := c.of(row), c.date.of(row)
	if s, ok := r.memo.Recall(cell, date); ok {
		return s, wording.Text{}
	}
	s, evidence, ok := r.clock.Parse(cell, date)
	if !r.orderShown {
		r.seen.look(cell, date, evidence, ok, row.Number)
	}
	switch {
	case ok && s.Form == notation.TimeOfDay && c.date != nil:
		return s, c.date.unreadable(date, wording.Say("cell.date", nil))
	case ok:
		r.memo.Learn(&r.clock, cell, date, s)
		return s, wording.Text{}
	case len(cell) > 0 && len(date) > 0:
		cell = bytes.Join([][]byte{date, cell}, []byte(" "))
	}
	return s, c.unreadable(cell, wording.Say("cell.time", wording.Values{"trouble": timeTrouble(cell)}))
}

// timeTrouble says what is known to be wrong with a time that cannot be read.
func timeTrouble(cell []byte) wording.Text {
	_, an := notation.LeadingNumber(cell)
	if an == 0 || an > 2 || an == len(cell) {
		return zoneTrouble(cell)
	}
	_, bn := notation.LeadingNumber(cell[an+1:])
	at := an + 1 + bn
	if separator := cell[an]; bn == 0 || at >= len(cell) || cell[at] != separator || separator == ':' {
		return wording.Text{}
	}
	if _, cn := notation.LeadingNumber(cell[at+1:]); cn == 2 {
		return wording.Say("cell.year-of-two-digits", nil)
	}
	return zoneTrouble(cell)
}

// zoneTrouble says that letters behind a time do not tell its zone.
func zoneTrouble(cell []byte) wording.Text {
	at := bytes.LastIndexByte(cell, ' ') + 1
	for _, b := range cell[at:] {
		if b < 'A' || b > 'Z' {
			return wording.Text{}
		}
	}
	if at == 0 || at == len(cell) {
		return wording.Text{}
	}
	zone := table.Text(cell[at:])
	return wording.Say("cell.zone-in-letters", wording.Values{"letters": zone})
}

// text returns the cell of a column as text.
func (r *reader) text(row *table.Row, c table.Column) string {
	return table.Text(r.columns[c].of(row))
}
