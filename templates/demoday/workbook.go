package demoday

import (
	"strconv"
	"time"

	"fieldheld/report/render/book"
)

// sheet turns a grid into a sheet of a workbook. Its row numbers are those of
// the text that the same grid would give.
func (g grid) sheet() (book.Sheet, error) {
	layout := g.file.Layout
	name := g.file.Entry.Sheet
	if name == "" {
		name = "Data"
	}
	out := book.Sheet{Name: name}
	for _, text := range layout.Preamble {
		out.Rows = append(out.Rows, []any{text})
	}
	for _, text := range layout.Comments {
		out.Rows = append(out.Rows, []any{"# " + text})
	}
	if layout.Blank {
		out.Rows = append(out.Rows, nil)
	}
	top, below := g.heads()
	out.Rows = append(out.Rows, texts(top))
	for range top {
		out.Widths = append(out.Widths, 22)
	}
	if below != nil {
		out.Rows = append(out.Rows, texts(below))
	}
	var cells []cell
	for i := range g.rows {
		cells = g.row(i, cells[:0])
		row, err := g.values(cells)
		if err != nil {
			return out, err
		}
		out.Rows = append(out.Rows, row)
	}
	return out, nil
}

func texts(words []string) []any {
	row := make([]any, len(words))
	for i, word := range words {
		if word != "" {
			row[i] = word
		}
	}
	return row
}

// values returns the cells of one row as the workbook stores them.
func (g grid) values(cells []cell) ([]any, error) {
	style := g.file.Layout.Time
	var row []any
	for k, c := range cells {
		switch {
		case g.columns[k].moment && style.Kind == SerialDate:
			row = append(row, g.file.own(c.at).In(style.zone()))
			continue
		case g.columns[k].moment:
			for _, part := range g.times(c.at, nil) {
				value, err := part.value()
				if err != nil {
					return nil, err
				}
				row = append(row, value)
			}
			continue
		}
		value, err := c.value()
		if err != nil {
			return nil, err
		}
		row = append(row, value)
	}
	return row, nil
}

// value returns a cell as a number, a text or nothing.
func (c cell) value() (any, error) {
	if c.text == "" {
		return nil, nil
	}
	if c.date {
		return time.Parse(time.DateOnly, c.text)
	}
	if c.number {
		return strconv.ParseFloat(c.text, 64)
	}
	return c.text, nil
}
