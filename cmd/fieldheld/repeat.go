package main

import (
	"encoding/csv"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/pdf"
)

// isPaper reports whether a file is to be a paper: its name ends in .pdf.
func isPaper(path string) bool { return strings.EqualFold(filepath.Ext(path), ".pdf") }

// writeRepeat writes what to repeat as a paper or as CSV, as the file's name
// ends, in the order that changes the antenna least often.
func writeRepeat(w io.Writer, r *report.Report, path string) error {
	if isPaper(path) {
		return pdf.WriteRepeat(w, r)
	}
	out := csv.NewWriter(w)
	_ = out.Write([]string{"Polarization", "Position", "Frequency (Hz)", "Why", "Antenna", "Limit (V/m)", "Dwell (s)"})
	dwell := decimal(r.Requirement.Required().Seconds())
	for _, setup := range r.RepeatSetups() {
		for i := range setup.Entries {
			e := &setup.Entries[i]
			_ = out.Write([]string{string(e.Polarization), strconv.Itoa(int(e.Position)), decimal(e.Setting), e.Why,
				harmless(setup.Antenna), decimal(e.Limit), dwell})
		}
	}
	out.Flush()
	return out.Error() // of any row
}

// decimal writes a figure for other programs, with all its digits; "" for one
// that is not known.
func decimal[T quantity.Number](x T) string {
	if !quantity.Defined(x) {
		return ""
	}
	return strconv.FormatFloat(float64(x), 'f', -1, 64)
}

// harmless keeps a spreadsheet program from taking a text of an input for a
// formula: it puts an apostrophe before one that begins like one.
func harmless(text string) string {
	if trimmed := strings.TrimLeft(text, " \t\r\n"); trimmed != "" && strings.ContainsRune("=+-@", rune(trimmed[0])) {
		return "'" + text
	}
	return text
}
