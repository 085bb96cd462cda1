package record

import (
	"bytes"
	"regexp"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// unitColumn is how a field column was told that no word of the vocabulary names.
const unitColumn = "by its unit, which no other column has"

// wanted are words of columns that hold what the field should be and not what it was.
var wanted = regexp.MustCompile(`(?i)limit|target|set|nominal|demand|required|soll|grenz|consigne|objetivo|obiettivo`)

// fieldByUnit takes the one column with a unit of field strength for the field,
// whatever its word, where neither a field nor an axis was found by name (day.md,
// what a cell means).
func (l *layout) fieldByUnit() {
	for _, c := range []table.Column{table.Field, table.AxisX, table.AxisY, table.AxisZ} {
		if l.elsewhere(c) || l.has(c) || !l.kind.takes(c) && c == table.Field {
			return
		}
	}
	below := l.firstRow()
	only := -1
	for i, h := range l.headings {
		unit := h.unit
		if unit == "" && below != nil {
			unit = bareUnit(below.Cell(i))
		}
		if _, ok := quantity.FieldUnit(unit); !ok || l.ignores(h) {
			continue
		}
		if only >= 0 {
			return
		}
		only = i
	}
	if only < 0 || wanted.MatchString(l.headings[only].text) {
		return
	}
	if c, known := l.kind.words()[l.headings[only].name]; known && c != table.Field {
		return
	}
	l.columns[table.Field] = &column{index: only, heading: l.headings[only], why: unitColumn}
}

// firstRow is the first row behind the header that is not empty, where it may be
// one of units: without any digit but those of units.
func (l *layout) firstRow() *table.Row {
	for i := range l.sample {
		row := &l.sample[i]
		if row.Empty() || row.Comment() {
			continue
		}
		for _, cell := range row.Cells {
			if bareUnit(cell) == "" && bytes.ContainsAny(cell, "0123456789") {
				return nil
			}
		}
		return row
	}
	return nil
}
