package record

import (
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// ReadRegister reads the laboratory's list of equipment.
func ReadRegister(src table.Source, entry table.Entry, s Settings) (*Register, error) {
	g := &registerReader{}
	if err := readTable(src, entry, s, registerKind, g); err != nil {
		return nil, err
	}
	return g.record, nil
}

type registerReader struct{ record *Register }

func (g *registerReader) check(l *layout) error {
	g.record.dropConflicts()
	return g.record.File.finish(l)
}

// dropConflicts takes out the assets that stand in several rows which do not say
// the same: which of them counts is not shown, and a calibration must not be
// taken from the wrong one.
func (g *Register) dropConflicts() {
	first := map[string]int{}
	conflict := map[string]bool{}
	for i, a := range g.Assets {
		name := strings.ToLower(a.Name)
		at, known := first[name]
		if !known {
			first[name] = i
			continue
		}
		if !a.same(&g.Assets[at]) {
			conflict[name] = true
		}
	}
	kept := g.Assets[:0]
	for i, a := range g.Assets {
		name := strings.ToLower(a.Name)
		switch {
		case conflict[name]:
			g.File.RowsRead--
			if g.Conflicts == nil {
				g.Conflicts = map[string][]int{}
			}
			g.Conflicts[name] = append(g.Conflicts[name], a.Row)
			g.File.unreadable(a.Row, wording.Say("row.asset-twice", wording.Values{"asset": a.Name}))
		case first[name] == i:
			kept = append(kept, a)
		}
	}
	g.Assets = kept
	slices.SortStableFunc(g.File.Problems, func(a, b RowProblem) int { return a.Row - b.Row })
}

// same reports whether two rows say the same about an asset.
func (a *Asset) same(b *Asset) bool {
	x, y := *a, *b
	x.Row, y.Row = 0, 0
	x.From, y.From, x.To, y.To = 0, 0, 0, 0
	alike := func(p, q quantity.Frequency) bool { return p == q || !quantity.Defined(p) && !quantity.Defined(q) }
	return x == y && alike(a.From, b.From) && alike(a.To, b.To)
}

func (g *registerReader) read(l *layout) (evidence, error) {
	g.record = &Register{}
	r := &reader{layout: l}
	err := r.eachRow(&g.record.File, func(row *table.Row) wording.Text {
		a, reason := r.asset(row)
		if reason.IsZero() {
			g.record.Assets = append(g.record.Assets, a)
		}
		return reason
	})
	return r.seen, err
}

// settleRegister finds the order of day and month in the dates of a register.
func (l *layout) settleRegister() {
	l.clock = notation.Clock{Rounded: l.file.Workbook(), Date1904: l.file.Date1904(), Numbers: l.numbers}
	if l.entry.TimeFormat != "" {
		l.clock.Kind, l.orderShown = notation.StatedLayout, true
		l.clock.Layout = notation.DateLayout(l.entry.TimeFormat)
		return
	}
	var seen notation.DateEvidence
	for i := range l.sample {
		for _, c := range []table.Column{calibrated, due} {
			_, evidence, _ := l.clock.ParseDate(l.columns[c].of(&l.sample[i]))
			seen.Add(evidence)
		}
	}
	if order := seen.Order(); order != notation.OrderUnknown {
		l.clock.Order, l.orderShown = order, true
	}
}

// asset reads one row, or says why it cannot.
func (r *reader) asset(row *table.Row) (Asset, wording.Text) {
	a := Asset{
		Row: row.Number, Name: r.text(row, asset), Description: r.text(row, description), Maker: r.text(row, maker),
		Model: r.text(row, model), Serial: r.text(row, serial), Certificate: r.text(row, certificate),
		Traceability: r.text(row, traceability),
	}
	if a.Name == "" {
		return a, wording.Say("cell.empty", wording.Values{"heading": r.columns[asset].heading.text})
	}
	var reason wording.Text
	if a.Calibrated, reason = r.calendarDate(row, calibrated); !reason.IsZero() {
		return a, reason
	}
	if a.Due, reason = r.calendarDate(row, due); !reason.IsZero() {
		return a, reason
	}
	if a.From, reason = r.rangeEnd(row, rangeFrom); !reason.IsZero() {
		return a, reason
	}
	a.To, reason = r.rangeEnd(row, rangeTo)
	return a, reason
}

// notGiven are the marks that registers write where there is nothing.
var notGiven = map[string]bool{"": true, "-": true, "–": true, "—": true, "n/a": true, "N/A": true, "na": true, "none": true, "None": true}

// calendarDate reads a date, the zero time where none is given.
func (r *reader) calendarDate(row *table.Row, c table.Column) (time.Time, wording.Text) {
	text := r.text(row, c)
	if notGiven[text] {
		return time.Time{}, wording.Text{}
	}
	cell := r.columns[c].of(row)
	s, evidence, ok := r.clock.ParseDate(cell)
	if !r.orderShown {
		r.seen.look(cell, nil, evidence, ok, row.Number)
	}
	if !ok {
		return time.Time{}, r.columns[c].unreadable(cell, wording.Say("cell.date", nil))
	}
	return s.Date(), wording.Text{}
}

// rangeEnd reads "60 MHz", or a number where the heading has the unit.
func (r *reader) rangeEnd(row *table.Row, c table.Column) (quantity.Frequency, wording.Text) {
	text := r.text(row, c)
	if notGiven[text] {
		return quantity.Undefined[quantity.Frequency](), wording.Text{}
	}
	if convert, ok := quantity.FrequencyUnit(r.columns[c].unit); ok {
		if n, ok := r.numbers.Parse(r.columns[c].of(row)); ok && n.Value >= 0 {
			return convert(n.Value), wording.Text{}
		}
	}
	f, err := quantity.ParseFrequency(text)
	if err != nil {
		return f, r.columns[c].unreadable(r.columns[c].of(row), wording.Say("cell.frequency-with-unit", nil))
	}
	return f, wording.Text{}
}
