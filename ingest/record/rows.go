package record

import (
	"fmt"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// eachRow hands the data rows of a file to take, one after the other. What take
// says against a row makes it an unreadable one; a row that equals the readable
// one before is noted.
func (r *reader) eachRow(into *File, take func(*table.Row) string) error {
	r.fileFacts(into)
	var before [][]byte
	return table.Read(r.file, r.delimiter, r.after(), func(c *table.Chunk) []table.Row {
		var rows []table.Row
		for c.Next() {
			rows = append(rows, c.Row().Clone())
		}
		return rows
	}, func(rows []table.Row) {
		for i := range rows {
			row := &rows[i]
			if row.Comment() || r.passes(row) {
				continue
			}
			reason := r.fault(row)
			if reason == "" {
				reason = take(row)
			}
			if reason != "" {
				into.unreadable(row.Number, reason)
				continue
			}
			into.RowsRead++
			if before != nil && table.SameCells(before, row.Cells) {
				into.problem(row.Number, Duplicate, duplicateReason)
			}
			before = row.Cells
		}
	})
}

const duplicateReason = "the row equals the one before it; both are kept"

// fileFacts takes into the file what its layout says.
func (l *layout) fileFacts(into *File) {
	p := l.file.Place(0, "")
	into.Path, into.Sheet = p.File, p.Sheet
}

func (f *File) problem(row int, kind RowProblemKind, reason string) {
	f.Problems = append(f.Problems, RowProblem{Row: row, Kind: kind, Reason: reason})
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

// orNothing is the error of a file of which no row can be read.
func (f *File) orNothing(l *layout) error {
	if f.RowsRead > 0 {
		return nil
	}
	m := place.Message{
		Place: l.file.Place(0, ""), What: "the " + l.kind.name + " has no row that can be read",
		Expected: "at least one row of data below the header in row " + fmt.Sprint(l.header.Number),
		Hint:     "look at the file, and name the right one, or say with the job sheet's entry how it is to be read",
	}
	if len(f.Problems) > 0 {
		first := f.Problems[0]
		m.Place.Row = first.Row
		m.Found = first.Reason
		if n := len(f.Problems); n > 1 {
			m.Found += fmt.Sprintf(", and %d rows like it", n-1)
		}
	} else {
		m.Found = "no row of data at all"
	}
	return &place.Error{Messages: place.Messages{m}}
}
