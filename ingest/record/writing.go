package record

import (
	"slices"

	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
)

// Writing is how a file writes its numbers, as far as other files of the day can be
// thought to write theirs in the same way.
type Writing struct {
	Delimiter rune     // 0 for a workbook
	Decimal   rune     // the mark that the file shows; 0 where it shows none
	Words     []string // that head its times, frequencies and fields, which tell its language
}

// writing says how the file writes.
func (l *layout) writing() Writing {
	w := Writing{Delimiter: l.delimiter}
	if l.markShown && !l.file.Workbook() {
		w.Decimal = rune(l.numbers.Decimal)
	}
	for _, c := range []table.Column{table.Time, table.Start, table.End, table.Duration, table.Date, table.Frequency, table.Field, table.Factor} {
		if found := l.columns[c]; found != nil && found.heading.name != "" {
			w.Words = append(w.Words, found.heading.name)
		}
	}
	return w
}

// like reports whether another file writes as this one: with the same delimiter, and
// in the same language, which a common word shows.
func (w Writing) like(other Writing) bool {
	return w.Delimiter == other.Delimiter && slices.ContainsFunc(w.Words, func(word string) bool { return slices.Contains(other.Words, word) })
}

// markOf is the decimal mark that all files which write as this one show; 0 where
// none does, or where they differ (day.md, what a cell means).
func (w Writing) markOf(others []Writing) byte {
	mark := byte(0)
	for _, other := range others {
		switch {
		case other.Decimal == 0 || !w.like(other):
		case mark != 0 && mark != byte(other.Decimal):
			return 0
		default:
			mark = byte(other.Decimal)
		}
	}
	return mark
}

// DoubtfulMark is the error about a file that does not show its decimal mark; the
// other files of the day may.
type DoubtfulMark struct {
	Asked   *place.Error
	Writing Writing // of the file
}

// Error writes what is asked.
func (d *DoubtfulMark) Error() string { return d.Asked.Error() }

// Unwrap returns what is asked.
func (d *DoubtfulMark) Unwrap() error { return d.Asked }
