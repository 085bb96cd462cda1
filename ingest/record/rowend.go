package record

import (
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// rowEnd is how the rows of a text usually end, against which a last row
// without a line end is held: the logger may have lost power within it.
type rowEnd struct {
	rows   int // that were looked at
	cells  int // of every row, 0 where they differ
	places int // decimal places of the last cell of every row, -1 where they differ or it is no number
}

// fewRows is how many rows it takes to show that all numbers of a column are
// written with the same places.
const fewRows = 5

// usualEnd looks at the rows of the beginning.
func (l *layout) usualEnd() rowEnd {
	usual := rowEnd{places: -1}
	for i := range l.sample {
		row := &l.sample[i]
		if row.NoLineEnd || row.Empty() || row.Comment() {
			continue
		}
		end := rowEnd{cells: len(row.Cells), places: l.lastPlaces(row)}
		if usual.cells == 0 {
			usual = end
			continue
		}
		usual.rows++
		if end.places != usual.places {
			usual.places = -1
		}
		usual.cells = min(usual.cells, end.cells)
	}
	return usual
}

func (l *layout) lastPlaces(row *table.Row) int {
	n, ok := l.numbers.Parse(row.Cells[len(row.Cells)-1])
	if !ok {
		return -1
	}
	return n.Places
}

// cut says that a row without a line end stops early, or nothing. A last number
// with fewer decimal places than all before it may lack digits that would make
// it another.
func (e rowEnd) cut(l *layout, row *table.Row) wording.Text {
	switch {
	case e.cells == 0:
		return wording.Text{}
	case len(row.Cells) < e.cells:
		return wording.Say("row.ends-in-middle", nil)
	case e.rows >= fewRows && e.places > 0 && l.lastPlaces(row) < e.places:
		return wording.Say("row.ends-in-number", nil)
	}
	return wording.Text{}
}
