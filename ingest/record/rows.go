package record

import (
	"fmt"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

const duplicateReason = "the row equals the one before it; both are kept"

// eachRow hands the data rows of a file to take, one after the other. What take
// says against a row makes it an unreadable one; a row that equals the readable
// one before is noted.
func (r *reader) eachRow(into *File, take func(*table.Row) string) error {
	r.fileFacts(into)
	var before [][]byte
	one := func(row *table.Row) {
		if row.Comment() {
			return
		}
		reason := r.fault(row)
		if reason == "" {
			reason = take(row)
		}
		if reason != "" {
			if reason = r.verdict(row, reason); reason != noData {
				into.unreadable(row.Number, reason)
			}
			return
		}
		into.RowsRead++
		if before != nil && table.SameCells(before, row.Cells) {
			into.problem(row.Number, Duplicate, duplicateReason)
		}
		before = row.Cells
	}
	return table.Read(r.file, r.delimiter, r.after(), copyRows, func(rows []table.Row) {
		for i := range rows {
			if into.hopeless() {
				return
			}
			one(&rows[i])
		}
	})
}

func copyRows(c *table.Chunk) []table.Row {
	var rows []table.Row
	for c.Next() {
		rows = append(rows, c.Row().Clone())
	}
	return rows
}

// fileFacts takes into the file what its layout says.
func (l *layout) fileFacts(into *File) {
	p := l.file.Place(0, "")
	into.Path, into.Sheet = p.File, p.Sheet
}

func (f *File) problem(row int, kind RowProblemKind, reason string) {
	f.note(RowProblem{Row: row, Kind: kind, Reason: reason})
}

func (f *File) unreadable(row int, reason string) {
	f.RowsUnread++
	f.problem(row, Unreadable, reason)
}

// saw widens the span of the file's times.
func (f *File) saw(t quantity.Instant) {
	if !f.HasTimes || t < f.First {
		f.First = t
	}
	if !f.HasTimes || t > f.Last {
		f.Last = t
	}
	f.HasTimes = true
}

// finish notes how the file writes, and is the error of a file of which no row can
// be read.
func (f *File) finish(l *layout) error {
	f.Writing = l.writing()
	hopeless := f.hopeless()
	f.sumUp()
	if f.RowsRead > 0 && !hopeless {
		return nil
	}
	m := place.Message{
		Place: l.file.Place(0, ""), What: "the " + l.kind.bare() + " has no row that can be read",
		Found:    fmt.Sprintf("nothing below the header in row %d", l.header.Number),
		Expected: "at least one row of data",
		Hint:     "name the right file, or copy it again: it may have been cut off",
	}
	if hopeless {
		m.What = "nearly no row of the " + l.kind.bare() + " can be read, and it was not read on"
	}
	if len(f.Problems) > 0 {
		first := f.Problems[0]
		m.Place.Row = first.Row
		m.Found = first.Reason
		if n := len(f.Problems); n > 1 {
			m.Found += fmt.Sprintf("; this is the first of %d rows", n)
		}
		m.Hint = "look at that row; if the file is right, say in the job sheet's entry how it is to be read: columns, units, decimal, delimiter, time_format"
	}
	return &place.Error{Messages: place.Messages{m}}
}
