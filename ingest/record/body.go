package record

import (
	"bytes"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// evidence is what the body of a file shows about how it is written, beyond
// what its beginning did.
type evidence struct {
	marks  markEvidence
	dates  notation.DateEvidence
	date   []byte // the first date that could be read either way
	row    int
	second int // row of another header with other columns or units, 0 where there is none
}

func (e *evidence) add(other evidence) {
	e.marks.add(other.marks)
	e.dates.Add(other.dates)
	if e.date == nil {
		e.date, e.row = other.date, other.row
	}
	if e.second == 0 {
		e.second = other.second
	}
}

// look keeps what a date shows about the order of its parts.
func (e *evidence) look(cell, date []byte, shown notation.DateEvidence, ok bool, row int) {
	e.dates.Add(shown)
	if len(date) == 0 {
		date = cell
	}
	if e.date == nil && ok && !shown.Day && !shown.Month && notation.AmbiguousDate(date) {
		e.date, e.row = bytes.Clone(date), row
	}
}

// body reads the rows of one kind of record.
type body interface {
	read(*layout) (evidence, error) // goes through the rows; the error is that of the file
	check(*layout) error            // what is wrong with what was read
}

// readTable opens a source, finds its layout and reads its body. Where the body
// shows another decimal mark or order of dates than its beginning let assume,
// it is read again with that; where nothing shows it, the error asks.
func readTable(src table.Source, entry table.Entry, settings Settings, k *kind, b body) error {
	l, seen, err := readOnce(src, entry, settings, k, b, nil)
	if err != nil {
		return err
	}
	if l.learn(seen) {
		if l, seen, err = readOnce(src, entry, settings, k, b, l); err != nil {
			return err
		}
		l.learn(seen)
	}
	if err := l.askOpen(seen); err != nil {
		return err
	}
	if twice, ok := b.(interface{ again() bool }); ok && twice.again() {
		if l, _, err = readOnce(src, entry, settings, k, b, l); err != nil {
			return err
		}
	}
	return b.check(l)
}

// readOnce goes through a file once, with what an earlier pass learned.
func readOnce(src table.Source, entry table.Entry, settings Settings, k *kind, b body, learned *layout) (*layout, evidence, error) {
	f, err := table.Open(src, entry)
	if err != nil {
		return nil, evidence{}, err
	}
	defer f.Close()
	l, err := findLayout(f, entry, settings, k)
	if err != nil {
		return nil, evidence{}, err
	}
	if learned != nil {
		l.numbers, l.clock.Numbers, l.markShown = learned.numbers, learned.numbers, learned.markShown
		l.numbersWhy, l.orderWhy = learned.numbersWhy, learned.orderWhy
		l.end = l.usualEnd() // as numbers are read now
		l.clock.Order, l.orderShown = learned.clock.Order, learned.orderShown
	}
	seen, err := b.read(l)
	return l, seen, err
}

// learn takes what the body showed into the layout, and reports whether it is
// something else than was assumed.
func (l *layout) learn(seen evidence) (other bool) {
	if !l.markShown && seen.marks.comma != seen.marks.point {
		mark := byte('.')
		if seen.marks.comma {
			mark = ','
		}
		other = l.numbers.Decimal != mark
		l.numbers.Decimal, l.markShown, l.numbersWhy = mark, true, seen.marks.why()
	}
	if mark, why := l.markBesideNumbers(seen.marks); !l.markShown && mark != 0 {
		other = other || l.numbers.Decimal != mark
		l.numbers.Decimal, l.markShown, l.numbersWhy = mark, true, why
	}
	if order := seen.dates.Order(); !l.orderShown && order != notation.OrderUnknown {
		other = other || order == notation.MonthFirst // day first is what was assumed
		l.clock.Order, l.orderShown, l.orderWhy = order, true, "as rows further down show"
	}
	return other
}

// askOpen is the error about what neither the file nor the job sheet shows.
func (l *layout) askOpen(seen evidence) error {
	var problems place.Messages
	switch {
	case seen.second != 0 && l.entry.NoHeader:
		problems.Add(place.Message{Place: l.file.Place(seen.second, ""), Text: wording.Say("log.header-of-none", wording.Values{"row": seen.second})})
	case seen.second != 0:
		problems.Add(place.Message{Place: l.file.Place(seen.second, ""), Text: wording.Say("log.second-table", wording.Values{"row": l.header.Number})})
	}
	if !l.markShown {
		l.askMark(seen.marks, &problems)
	}
	if !l.orderShown && (seen.date != nil || seen.dates.Day) {
		l.askOrder(seen, &problems)
	}
	if first, doubtful := l.timeline.Doubts(); doubtful {
		problems.Add(place.Message{Place: l.file.Place(0, ""), Text: wording.Say("log.doubled-hour", wording.Values{"found": first.String(), "zone": l.timeline.Zone})})
	}
	if !l.markShown && len(problems) == 1 && seen.marks.doubtful != nil && !seen.marks.point && !seen.marks.comma {
		return &DoubtfulMark{Asked: &place.Error{Messages: problems}, Writing: l.writing()}
	}
	return problems.Err()
}

func (l *layout) askMark(seen markEvidence, problems *place.Messages) {
	switch {
	case seen.point && seen.comma:
		problems.Add(place.Message{Place: l.file.Place(0, ""), Text: wording.Say("log.two-decimal-marks", nil)})
	case seen.doubtful != nil:
		problems.Add(place.Message{Place: l.file.Place(seen.row, ""), Text: wording.Say("log.doubtful-mark", wording.Values{"found": table.Shown(seen.doubtful)})})
	}
}

func (l *layout) askOrder(seen evidence, problems *place.Messages) {
	early, late := notation.LayoutsOfDate(seen.date)
	text := wording.Say("log.doubtful-dates", wording.Values{"found": table.Shown(seen.date), "day": early, "month": late})
	if seen.dates.Day {
		text = wording.Say("log.two-orders-of-dates", wording.Values{"day": early, "month": late})
	}
	problems.Add(place.Message{Place: l.file.Place(seen.row, ""), Text: text})
}
