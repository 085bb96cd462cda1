package record

import (
	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
)

// evidence is what the body of a file shows about how it is written, beyond
// what its beginning did.
type evidence struct {
	marks markEvidence
	dates dateEvidence
	date  []byte // the first date that could be read either way
	row   int
}

func (e *evidence) add(other evidence) {
	e.marks.add(other.marks)
	e.dates.day = e.dates.day || other.dates.day
	e.dates.month = e.dates.month || other.dates.month
	if e.date == nil {
		e.date, e.row = other.date, other.row
	}
}

// readTable opens a source, finds its layout and reads its body. Where the body
// shows another decimal mark or order of dates than its beginning let assume,
// it is read again with that; where nothing shows it, the error asks.
func readTable(src table.Source, entry table.Entry, settings Settings, k *kind, body func(*layout) (evidence, error)) error {
	var again *layout
	for {
		f, err := table.Open(src, entry)
		if err != nil {
			return err
		}
		l, err := findLayout(f, entry, settings, k)
		if err == nil && again != nil {
			l.numbers, l.clock.numbers = again.numbers, again.numbers
			l.clock.order, l.clock.shown = again.clock.order, again.clock.shown
		}
		var seen evidence
		if err == nil {
			seen, err = body(l)
		}
		f.Close()
		if err != nil {
			return err
		}
		if other := l.other(seen); other && again == nil {
			again = l
			continue
		}
		return l.askOpen(seen)
	}
}

// other takes what the body showed into the layout, and reports whether it is
// something else than was assumed.
func (l *layout) other(seen evidence) bool {
	changed := false
	if !l.numbers.shown && seen.marks.comma != seen.marks.point {
		mark := byte('.')
		if seen.marks.comma {
			mark = ','
		}
		changed = l.numbers.decimal != mark
		l.numbers.decimal, l.numbers.shown = mark, true
	}
	if !l.clock.shown && seen.dates.day != seen.dates.month {
		order := dayFirst
		if seen.dates.month {
			order = monthFirst
		}
		changed = changed || order == monthFirst
		l.clock.order, l.clock.shown = order, true
	}
	return changed
}

// askOpen is the error about what neither the file nor the job sheet shows.
func (l *layout) askOpen(seen evidence) error {
	var problems place.Messages
	if !l.numbers.shown {
		m := place.Message{Hint: "add decimal = \".\" or decimal = \",\" to the job sheet's entry"}
		switch {
		case seen.marks.point && seen.marks.comma:
			m.Place = l.file.Place(0, "")
			m.What = "the file writes decimal points and decimal commas"
			m.Expected = "one decimal mark"
			problems.Add(m)
		case seen.marks.doubtful != nil:
			m.Place = l.file.Place(seen.marks.row, "")
			m.What = "the numbers can be read in two ways, and no row of the file shows which"
			m.Found = table.Shown(seen.marks.doubtful) + ", with a decimal mark or with thousands"
			m.Expected = "a number that shows the decimal mark"
			problems.Add(m)
		}
	}
	if !l.clock.shown && (seen.date != nil || seen.dates.day) {
		m := place.Message{
			Place: l.file.Place(seen.row, ""), What: "the order of day and month is not shown by any row of the file",
			Found: table.Shown(seen.date), Expected: "a date that can be read in one way only",
			Hint: "add time_format = \"02/01/2006 15:04:05\" for day before month, or \"01/02/2006 15:04:05\" for month before day, to the job sheet's entry",
		}
		if seen.dates.day {
			m.What, m.Found = "some dates have the day first and some the month", ""
		}
		problems.Add(m)
	}
	if l.timeline.doubtful {
		problems.Add(place.Message{
			Place: l.file.Place(0, ""), What: "the clocks were set back in the hour of these times, which therefore came twice",
			Found: l.timeline.doubt + " in " + l.timeline.zone.String(), Expected: "times that say which hour they mean",
			Hint: "give the entry a time_zone with a fixed distance from UTC: “Etc/GMT-2” is two hours ahead of UTC, “Etc/GMT-1” one hour",
		})
	}
	return problems.Err()
}

// look keeps what a date shows about the order of its parts.
func (e *evidence) look(cell, date []byte, shown dateEvidence, ok bool, row int) {
	e.dates.day = e.dates.day || shown.day
	e.dates.month = e.dates.month || shown.month
	if len(date) == 0 {
		date = cell
	}
	if e.date == nil && ok && !shown.day && !shown.month && ambiguousDate(date) {
		e.date, e.row = append([]byte(nil), cell...), row
	}
}

// ambiguousDate reports whether day and month of a date could be exchanged for
// another date.
func ambiguousDate(cell []byte) bool {
	early, n, _, a := parseDate(cell, dayFirst)
	late, _, _, b := parseDate(cell, monthFirst)
	return a && b && n > 0 && early != late
}
