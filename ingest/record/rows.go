package record

import (
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// eachRow hands the data rows of a file to take, one after the other. What take
// says against a row makes it an unreadable one; a row that equals the readable
// one before is noted.
func (r *reader) eachRow(into *File, take func(*table.Row) wording.Text) error {
	r.fileFacts(into)
	var before [][]byte
	one := func(row *table.Row) {
		if row.Comment() {
			return
		}
		reason := r.fault(row)
		if reason.IsZero() {
			reason = take(row)
		}
		if !reason.IsZero() {
			if reason, noData := r.verdict(row, reason); !noData {
				into.unreadable(row.Number, reason)
			}
			return
		}
		into.RowsRead++
		if before != nil && table.SameCells(before, row.Cells) {
			into.problem(row.Number, Duplicate, wording.Say("row.duplicate", nil))
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

func (f *File) problem(row int, kind RowProblemKind, reason wording.Text) {
	f.note(RowProblem{Row: row, Kind: kind, Reason: reason})
}

func (f *File) unreadable(row int, reason wording.Text) {
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
	where := l.file.Place(0, "")
	if len(f.Problems) == 0 {
		return place.NewError(where, wording.Say("log.no-rows", wording.Values{"kind": l.kind.bare(), "header": l.header.Number}))
	}
	first := f.Problems[0]
	where.Row = first.Row
	if hopeless {
		return place.NewError(where, wording.Say("log.hopeless", wording.Values{"kind": l.kind.bare(), "reason": first.Reason, "count": len(f.Problems)}))
	}
	return place.NewError(where, wording.Say("log.no-readable-row", wording.Values{"kind": l.kind.bare(), "reason": first.Reason, "count": len(f.Problems)}))
}
