package record

import (
	"bytes"
	"slices"
	"strings"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/spelling"
	"fieldheld/ingest/table"
)

// findHeader takes the first row whose cells name all that the kind needs, by
// themselves or together with the row above. Where none does, it keeps the row
// that names most.
func (l *layout) findHeader(rows []table.Row) {
	var most layout
	l.looked = len(rows)
	if l.entry.NoHeader {
		l.numberColumns(rows)
		return
	}
	for i := range rows {
		row := &rows[i]
		if l.entry.HeaderRow != 0 && row.Number != l.entry.HeaderRow || !couldBeHeader(row) {
			continue
		}
		try := *l
		try.header, try.preamble, try.sample = *row, rows[:i], rows[i+1:]
		try.name(row.Cells)
		if !try.complete() && i > 0 && couldBeHeading(&rows[i-1]) {
			under := try
			under.name(joined(rows[i-1].Cells, row.Cells))
			if under.complete() {
				try = under
			}
		}
		if try.complete() {
			*l = *try.withRowBelow(rows, i)
			return
		}
		if most.header.Number == 0 || len(try.columns) > len(most.columns) {
			most = try
		}
	}
	if most.header.Number != 0 {
		*l = most
	}
}

// withRowBelow returns the layout of a header of two rows where the row below
// names more than the header does alone: axes below a field, for one.
func (l *layout) withRowBelow(rows []table.Row, i int) *layout {
	if i+1 == len(rows) || !couldBeHeading(&rows[i+1]) || l.isUnitRow(&rows[i+1]) {
		return l
	}
	both := *l
	both.header, both.preamble, both.sample = rows[i+1], rows[:i+1], rows[i+2:]
	both.name(joined(rows[i].Cells, rows[i+1].Cells))
	if both.complete() && len(both.columns) > len(l.columns) {
		return &both
	}
	return l
}

// complete reports whether the header names all that the kind needs.
func (l *layout) complete() bool { return len(l.kind.missing(l.has)) == 0 }

// couldBeHeader passes over rows with less than the two names that every kind
// of record needs, which are nearly all where the delimiter is another.
func couldBeHeader(row *table.Row) bool {
	filled := 0
	for _, cell := range row.Cells {
		if len(cell) > 0 && !notation.NumberLike(string(cell)) {
			filled++
		}
	}
	return filled >= 2 && row.Fault.IsZero()
}

// couldBeHeading reports whether a row may be the upper one of two header rows:
// it has words, and no numbers.
func couldBeHeading(row *table.Row) bool {
	if row.Empty() || row.Comment() || !row.Fault.IsZero() {
		return false
	}
	for _, cell := range row.Cells {
		if len(cell) > 0 && notation.NumberLike(string(cell)) {
			return false
		}
	}
	return true
}

// joined puts the cells of two header rows together. A cell that is merged over
// several columns stands in the first of them only, and heads those below that
// have a name of their own; one that is merged over both rows has none below.
func joined(upper, lower [][]byte) [][]byte {
	cells := make([][]byte, max(len(upper), len(lower)))
	var group []byte
	for i := range cells {
		var top, bottom []byte
		if i < len(upper) {
			top = upper[i]
		}
		if i < len(lower) {
			bottom = lower[i]
		}
		if len(top) > 0 {
			group = top
		}
		switch {
		case len(bottom) == 0:
			cells[i] = top
		case len(group) == 0:
			cells[i] = bottom
		default:
			cells[i] = underGroup(group, bottom)
		}
	}
	return cells
}

// underGroup names a column below a group: "X" below "Field (V/m)" is
// "Field X (V/m)".
func underGroup(group, name []byte) []byte {
	text, unit, ok := cutBrackets(string(group))
	if !ok {
		return bytes.Join([][]byte{group, name}, []byte(" "))
	}
	if _, _, own := cutBrackets(string(name)); own {
		return []byte(text + " " + string(name))
	}
	return []byte(text + " " + string(name) + " (" + unit + ")")
}

// How the quantity of a column was told.
const (
	namedColumn  = "by its name"
	statedColumn = "stated in the job sheet"
)

// name gives the cells of a header their quantities, as far as it names any.
func (l *layout) name(cells [][]byte) {
	known := l.kind.words()
	l.columns = map[table.Column]*column{}
	l.headings = make([]heading, len(cells))
	for i, cell := range cells {
		h := known.heading(cell)
		l.headings[i] = h
		if l.ignores(h) {
			continue
		}
		c, why := l.stated(i, h), statedColumn
		if c == "" {
			c, why = known[h.name], namedColumn
			if l.elsewhere(c) {
				continue
			}
		}
		if _, twice := l.columns[c]; !twice && l.kind.takes(c) {
			l.columns[c] = &column{index: i, heading: h, why: why}
		}
	}
	l.fieldByUnit()
	l.findStatuses()
}

// numberColumns takes the columns of a file without a header by their numbers.
func (l *layout) numberColumns(rows []table.Row) {
	width := 0
	for i := range rows {
		if !rows[i].Empty() && !rows[i].Comment() {
			width = max(width, len(rows[i].Cells))
		}
	}
	l.sample = rows
	l.name(make([][]byte, width))
}

// ignores reports whether the job sheet says that a column is none to read.
func (l *layout) ignores(h heading) bool {
	return h.text != "" && slices.ContainsFunc(l.entry.Ignored, func(text string) bool {
		return strings.EqualFold(strings.TrimSpace(text), h.text)
	})
}

// suits counts the first rows that hold what the numbers of the columns say, which
// tells the delimiter of a file without a header.
func (l *layout) suits() int {
	const most = 20
	suiting := 0
	for i := range l.sample[:min(most, len(l.sample))] {
		if row := &l.sample[i]; row.Fault.IsZero() && l.suitsRow(row) {
			suiting++
		}
	}
	return suiting
}

func (l *layout) suitsRow(row *table.Row) bool {
	for c, found := range l.columns {
		cell := found.of(row)
		point, comma := notation.Numbers{Decimal: '.'}, notation.Numbers{Decimal: ','}
		_, number := point.Parse(cell)
		if !number {
			_, number = comma.Parse(cell)
		}
		switch {
		case isNumeric(c) && !number:
			return false
		case c == table.Time || c == table.Start:
			if _, _, ok := (&notation.Clock{Numbers: point}).Parse(cell, l.columns[table.Date].of(row)); !ok && !number && l.entry.TimeFormat == "" {
				return false
			}
		}
	}
	return true
}

// elsewhere reports whether the job sheet says which column holds the quantity.
func (l *layout) elsewhere(c table.Column) bool {
	return l.entry.Columns[c] != "" || l.entry.Numbers[c] > 0
}

// stated returns the quantity that the job sheet gives a column: by its number, by
// the whole text of its heading, or by its name without the unit.
func (l *layout) stated(index int, h heading) table.Column {
	var found []table.Column
	for c, number := range l.entry.Numbers {
		if number == index+1 {
			found = append(found, c)
		}
	}
	if len(found) > 0 {
		return slices.Min(found)
	}
	if h.text == "" {
		return ""
	}
	for c, text := range l.entry.Columns {
		if name := spelling.Fold(text); strings.EqualFold(strings.TrimSpace(text), h.text) || name != "" && (name == h.name || name == spelling.Fold(h.text)) {
			found = append(found, c)
		}
	}
	if len(found) == 0 {
		return ""
	}
	return slices.Min(found)
}
