package record

import (
	"bytes"

	"fieldheld/ingest/table"
)

// settleNumbers finds the decimal mark from the columns of numbers.
func (l *layout) settleNumbers() {
	l.numbers = notation{decimal: '.', binary: l.file.Workbook()}
	switch {
	case l.entry.Decimal != 0:
		l.numbers.decimal, l.numbers.shown = byte(l.entry.Decimal), true
		return
	case l.file.Workbook():
		l.numbers.shown = true
		return
	}
	var seen markEvidence
	for i := range l.sample {
		for c, found := range l.columns {
			if isNumeric(c) {
				seen.look(found.of(&l.sample[i]), l.sample[i].Number, found)
			}
		}
	}
	switch {
	case seen.comma && !seen.point:
		l.numbers.decimal, l.numbers.shown = ',', true
	case seen.point && !seen.comma:
		l.numbers.shown = true
	case l.delimiter == ',' && !seen.comma:
		l.numbers.shown = true // where commas part the cells, none parts the digits
	}
}

// isNumeric reports whether the column holds numbers, which show the decimal mark.
func isNumeric(c table.Column) bool {
	switch c {
	case table.Field, table.AxisX, table.AxisY, table.AxisZ, table.Frequency, table.Forward, table.Reflected,
		table.Duration, table.Factor, unixTime, elapsedTime, net, levelSet, battery, temperature, uncertainty:
		return true
	}
	return false
}

// markEvidence is what cells show about the decimal mark.
type markEvidence struct {
	point, comma bool
	doubtful     []byte // the first cell that could be read either way
	row          int
}

// look takes in what one cell shows. A number such as 1,234 shows its mark too
// where 1234 would be more than the quantity can be.
func (e *markEvidence) look(cell []byte, row int, c *column) {
	cell = c.cutSuffix(cell)
	mark, doubtful := showsMark(cell)
	if doubtful && c.most > 0 {
		at := bytes.IndexAny(cell, ".,")
		whole, ok := notation{decimal: '.'}.parse(bytes.Join([][]byte{cell[:at], cell[at+1:]}, nil))
		if ok && c.convert(whole.value) > c.most {
			mark, doubtful = cell[at], false
		}
	}
	switch {
	case mark == '.':
		e.point = true
	case mark == ',':
		e.comma = true
	case doubtful && e.doubtful == nil:
		e.doubtful, e.row = bytes.Clone(cell), row
	}
}

func (e *markEvidence) add(other markEvidence) {
	e.point = e.point || other.point
	e.comma = e.comma || other.comma
	if e.doubtful == nil {
		e.doubtful, e.row = other.doubtful, other.row
	}
}

// cutSuffix takes the unit off a cell of a column whose cells hold it.
func (c *column) cutSuffix(cell []byte) []byte {
	if c.suffix == "" {
		return cell
	}
	number, ok := bytes.CutSuffix(cell, []byte(c.suffix))
	if !ok {
		return cell
	}
	return bytes.TrimRight(number, " \u00a0")
}
