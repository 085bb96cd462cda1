// Package workbook renders a report as a workbook, for those who want to filter,
// sort and plot its figures themselves: real numbers and dates, one sheet a kind
// of thing. It computes nothing.
package workbook

import (
	"io"
	"math"
	"strings"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/book"
)

// Write writes the workbook as .xlsx. The same report gives the same bytes.
func Write(w io.Writer, r *report.Report) error {
	steps, rows := stepSheet(r)
	sheets := []book.Sheet{summarySheet(r), cellSheet(r), steps, visitSheet(r)}
	if probes, several := probeSheet(r); several {
		sheets = append(sheets, probes)
	}
	if r.OtherRows() > 0 {
		sheets = append(sheets, otherRowSheet(r))
	}
	sheets = append(sheets, findingSheet(r), repeatSheet(r), equipmentSheet(r), evidenceSheet(r), plotSheet(r, rows))
	return book.Write(w, sheets)
}

// column is one column of a sheet.
type column struct {
	heading string
	width   float64
	format  string // of its numbers
	wrapped bool
}

// Number formats. Levels and margins keep their sign when they round to zero, so
// that a miss never looks like a hit.
const (
	whole    = "0"
	two      = "0.00"
	three    = "0.000"
	signed   = "+0.00;-0.00;0.00"
	part     = "0.0 %"
	megahert = "0.000###"
	field    = "0.0"
	watt     = "0.0"
)

// sheetOf begins a sheet with the headings of its columns.
func sheetOf(name string, frozen int, columns []column) book.Sheet {
	sheet := book.Sheet{Name: name, Heading: true, Filter: true, Frozen: frozen}
	var headings []any
	for _, c := range columns {
		headings = append(headings, c.heading)
		sheet.Widths = append(sheet.Widths, c.width)
		sheet.Formats = append(sheet.Formats, c.format)
		sheet.Wrapped = append(sheet.Wrapped, c.wrapped)
	}
	sheet.Rows = [][]any{headings}
	return sheet
}

// number is a figure; an undefined one is an empty cell, never zero.
func number[T ~float64](x T) any {
	if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
		return nil
	}
	return float64(x)
}

// frequency is a frequency in megahertz.
func frequency(f quantity.Frequency) any { return number(f / 1e6) }

// count is a whole number; zero, where it stands for none, is an empty cell.
func count(n int) any {
	if n == 0 {
		return nil
	}
	return n
}

// text is a text; none is an empty cell.
func text(s string) any {
	if strings.TrimSpace(s) == "" {
		return nil
	}
	return s
}

// moment is a time in the report's zone; none is an empty cell.
func moment(t time.Time, zone *time.Location) any {
	if t.IsZero() {
		return nil
	}
	return t.In(zone)
}

// date is a date; none is an empty cell.
func date(t time.Time) any {
	if t.IsZero() {
		return nil
	}
	return t
}
