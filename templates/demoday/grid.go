package demoday

import (
	"strconv"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// A grid is a table on its way into a file: heads with units, and a function
// that writes the cells of one row, so that a long table need not stand in
// memory twice.
type grid struct {
	file    File
	columns []column
	rows    int
	row     func(i int, cells []cell) []cell // appends one cell a column
}

// column is one column of a grid.
type column struct {
	head, unit string
	moment     bool // holds times: written in one column or two
}

// cell is one value, written with a decimal point.
type cell struct {
	text   string
	number bool // text is a number
	date   bool // text is an ISO date
	at     quantity.Instant
}

func words(text string) cell           { return cell{text: text} }
func numeral(text string) cell         { return cell{text: text, number: true} }
func day(text string) cell             { return cell{text: text, date: true} }
func instant(at quantity.Instant) cell { return cell{at: at} }

// column returns the column of a quantity with the file's own word and unit.
func (f File) column(c table.Column) column {
	return column{head: f.Layout.head(c), unit: f.Layout.unit(c)}
}

// moment returns a column of times.
func (f File) moment(c table.Column) column {
	return column{head: f.Layout.head(c), moment: true}
}

// heads returns the head row and, where the layout wants one, the row of units.
func (g grid) heads() (top, below []string) {
	layout := g.file.Layout
	for _, c := range g.columns {
		if c.moment && layout.Time.Date != "" {
			top, below = append(top, layout.head(table.Date)), append(below, "")
		}
		word, unit := c.head, c.unit
		if c.moment && (layout.Time.Kind == ElapsedSeconds) {
			unit = "s"
		}
		switch {
		case unit == "":
		case layout.Units == InBrackets:
			word += " (" + unit + ")"
		case layout.Units == InSquareBrackets:
			word += " [" + unit + "]"
		case layout.Units == AfterComma:
			word += ", " + unit
		}
		top, below = append(top, word), append(below, unit)
	}
	if layout.Units != RowBelow {
		below = nil
	}
	return top, below
}

// times writes an instant as the file's clock shows it, in one text or two.
func (g grid) times(at quantity.Instant, texts []cell) []cell {
	style := g.file.Layout.Time
	own := g.file.own(at)
	local := own.In(style.zone())
	switch style.Kind {
	case UnixSeconds:
		return append(texts, numeral(seconds(time.Duration(own))))
	case ElapsedSeconds:
		return append(texts, numeral(seconds(own.Sub(quantity.InstantOf(g.file.Entry.Start)))))
	}
	if style.Date != "" {
		texts = append(texts, words(local.Format(style.Date)))
	}
	if style.Clock == "" {
		return append(texts, words(local.Format(rfc3339)))
	}
	return append(texts, words(local.Format(style.Clock)))
}

// seconds writes a duration in seconds to the millisecond.
func seconds(d time.Duration) string {
	return strconv.FormatFloat(float64(d.Milliseconds())/1000, 'f', 3, 64)
}
