package layout

import (
	"fieldheld/charts"
	"fieldheld/report/structure"
)

// Particular is a label and the value behind it.
type Particular struct {
	Label, Value string
	Quiet        bool // in grey, for a value that says that there is none
}

// labelWide is the width of the column of labels.
const labelWide Points = 112

// Particulars sets a list of labels and their values in two columns.
func (f *Flow) Particulars(list []Particular) {
	x := f.Format.Left() + labelWide
	var table *structure.Element
	for i, p := range list {
		value, s := f.prepare(p.Value), BodyStyle
		if p.Quiet {
			s = BodyStyle.In(charts.Quiet)
		}
		lines := f.types.wrap(s, value, min(f.Format.Measure()-labelWide, f.measureOf(s)))
		labels := f.types.wrap(LabelStyle, p.Label, labelWide-10)
		f.Reserve(s.Leading * float64(max(min(len(lines), 3), len(labels))))
		if i == 0 {
			table = f.tags.root.Add("Table")
		}
		row := table.Add("TR")
		f.within(row.Header("Row"), func() {
			for i, line := range labels {
				f.Text(f.Format.Left(), f.Y+s.Size*1.05+float64(i)*LabelStyle.Leading, LabelStyle, line)
			}
		})
		cell := row.Add("TD")
		for i, line := range lines {
			if i > 0 {
				f.Reserve(s.Leading)
			}
			f.within(cell, func() { f.Text(x, f.Y+s.Size*1.05, s, line) })
			f.Y += s.Leading
		}
		if extra := float64(len(labels))*LabelStyle.Leading - float64(len(lines))*s.Leading; extra > 0 {
			f.Y += extra
		}
		f.Y += 2
	}
	f.Y += 6
}
