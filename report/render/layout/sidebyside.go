package layout

// SideBySide makes a table of several entries a row, to be read across: as many as
// fit into the measure, up to most. Each entry has the cells of the columns.
func (f *Flow) SideBySide(columns []Column, entries [][]Cell, most int) *Table {
	for across := most; ; across-- {
		t := beside(columns, entries, across)
		if across == 1 || f.shapeOf(t).total <= f.Format.Measure()+0.01 {
			return t
		}
	}
}

// beside makes a table of so many entries a row, an empty column between them.
func beside(columns []Column, entries [][]Cell, across int) *Table {
	t := &Table{Dense: true}
	for i := range across {
		if i > 0 {
			t.Columns = append(t.Columns, Column{})
		}
		t.Columns = append(t.Columns, columns...)
	}
	for begin := 0; begin < len(entries); begin += across {
		var r Row
		for k := begin; k < min(begin+across, len(entries)); k++ {
			if k > begin {
				r.Cells = append(r.Cells, Cell{})
			}
			r.Cells = append(r.Cells, entries[k]...)
		}
		r.Cells = append(r.Cells, make([]Cell, len(t.Columns)-len(r.Cells))...)
		t.Add(r)
	}
	return t
}
