package layout

import (
	"strings"

	"fieldheld/charts"
)

// FillIn sets lines to be filled in by hand beside each other, each behind its label.
func (f *Flow) FillIn(labels ...string) {
	const height = 22
	f.Reserve(height)
	f.Y += height
	width := f.Format.Measure() / float64(len(labels))
	for i, label := range labels {
		x := f.Format.Left() + float64(i)*width
		f.Tagged("P", func() { x += f.Text(x, f.Y, LabelStyle, label) })
		f.Rule(x+4, f.Format.Left()+float64(i+1)*width-10, f.Y+1, 0.4, charts.Quiet)
	}
	f.Y += 14
}

// Blank is a line to write on within a table, about as wide as so many letters.
func Blank(letters int) string { return strings.Repeat("_", letters) }
