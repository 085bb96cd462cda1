package record

import (
	"bytes"

	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// evidence is what the body of a file shows about how it is written, beyond
// what its beginning did.
type evidence struct {
	marks  markEvidence
	dates  dateEvidence
	date   []byte // the first date that could be read either way
	row    int
	second int // row of another header with other columns or units, 0 where there is none
}

func (e *evidence) add(other evidence) {
	e.marks.add(other.marks)
	e.dates.add(other.dates)
	if e.date == nil {
		e.date, e.row = other.date, other.row
	}
	if e.second == 0 {
		e.second = other.second
	}
}

// look keeps what a date shows about the order of its parts.
func (e *evidence) look(cell, date []byte, shown dateEvidence, ok bool, row int) {
	e.dates.add(shown)
	if len(date) == 0 {
		date = cell
	}
	if e.date == nil && ok && !shown.day && !shown.month && ambiguousDate(date) {
		e.date, e.row = bytes.Clone(date), row
	}
}

// ambiguousDate reports whether day and month of a date could be exchanged for
// another date.
func ambiguousDate(cell []byte) bool {
	early, n, _, a := parseDate(cell, dayFirst)
	late, _, _, b := parseDate(cell, monthFirst)
	return a && b && n > 0 && early != late
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
		l.numbers, l.clock.numbers = learned.numbers, learned.numbers
		l.numbersWhy, l.orderWhy = learned.numbersWhy, learned.orderWhy
		l.end = l.usualEnd() // as numbers are read now
		l.clock.order, l.clock.shown = learned.clock.order, learned.clock.shown
	}
	seen, err := b.read(l)
	return l, seen, err
}

// learn takes what the body showed into the layout, and reports whether it is
// something else than was assumed.
func (l *layout) learn(seen evidence) (other bool) {
	if !l.numbers.shown && seen.marks.comma != seen.marks.point {
		mark := byte('.')
		if seen.marks.comma {
			mark = ','
		}
		other = l.numbers.decimal != mark
		l.numbers.decimal, l.numbers.shown, l.numbersWhy = mark, true, seen.marks.why()
	}
	if mark, why := l.markBesideNumbers(seen.marks); !l.numbers.shown && mark != 0 {
		other = other || l.numbers.decimal != mark
		l.numbers.decimal, l.numbers.shown, l.numbersWhy = mark, true, why
	}
	if order := seen.dates.order(); !l.clock.shown && order != orderUnknown {
		other = other || order == monthFirst // day first is what was assumed
		l.clock.order, l.clock.shown, l.orderWhy = order, true, "as rows further down show"
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
	if !l.numbers.shown {
		l.askMark(seen.marks, &problems)
	}
	if !l.clock.shown && (seen.date != nil || seen.dates.day) {
		l.askOrder(seen, &problems)
	}
	if l.timeline.doubtful {
		problems.Add(place.Message{Place: l.file.Place(0, ""), Text: wording.Say("log.doubled-hour", wording.Values{"found": l.timeline.doubt, "zone": l.timeline.zone})})
	}
	if !l.numbers.shown && len(problems) == 1 && seen.marks.doubtful != nil && !seen.marks.point && !seen.marks.comma {
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
	early, late := layoutsFor(seen.date)
	text := wording.Say("log.doubtful-dates", wording.Values{"found": table.Shown(seen.date), "day": early, "month": late})
	if seen.dates.day {
		text = wording.Say("log.two-orders-of-dates", wording.Values{"day": early, "month": late})
	}
	problems.Add(place.Message{Place: l.file.Place(seen.row, ""), Text: text})
}
