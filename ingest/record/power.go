package record

import (
	"math"
	"sort"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// ReadPowerFile reads forward and reflected power. Rows are sorted by time where
// the file has times; rows of the same time stay in file order.
func ReadPowerFile(src table.Source, entry table.Entry, s Settings) (*PowerFile, error) {
	p := &powerReader{}
	if err := readTable(src, entry, s, powerKind, p); err != nil {
		return nil, err
	}
	return p.record, nil
}

type powerReader struct{ record *PowerFile }

func (p *powerReader) check(l *layout) error { return p.record.File.finish(l) }

func (p *powerReader) read(l *layout) (evidence, error) {
	p.record = &PowerFile{}
	r := &reader{layout: l}
	finest := math.MinInt
	err := r.eachRow(&p.record.File, func(row *table.Row) wording.Text {
		places, reason := r.powerRow(p.record, row)
		finest = max(finest, places)
		return reason
	})
	if l.has(table.Frequency) {
		p.record.Resolution = l.resolution(finest)
	}
	if p.record.Times != nil {
		sort.Stable(byTime{p.record})
	}
	return r.seen, err
}

// powerRow appends a row to the columns of the file, or says why it cannot. It
// also returns how many decimal places its frequency is written with.
func (r *reader) powerRow(p *PowerFile, row *table.Row) (places int, reason wording.Text) {
	places = math.MinInt
	timed := len(r.times) > 0
	forward, reason := r.power(row, r.columns[table.Forward])
	if !reason.IsZero() {
		return places, reason
	}
	reflected := quantity.Undefined[quantity.Power]()
	if r.has(table.Reflected) && len(r.columns[table.Reflected].of(row)) > 0 {
		if reflected, reason = r.power(row, r.columns[table.Reflected]); !reason.IsZero() {
			return places, reason
		}
	}
	frequency := quantity.Undefined[quantity.Frequency]()
	if r.has(table.Frequency) && !(timed && len(r.columns[table.Frequency].of(row)) == 0) {
		var n notation.Number
		if frequency, n, reason = r.frequency(row, r.columns[table.Frequency]); !reason.IsZero() {
			return places, reason
		}
		places = n.Places
	}
	if timed {
		s, reason := r.stamp(row, r.times[0])
		if !reason.IsZero() {
			return places, reason
		}
		t, reason := r.timeline.At(s)
		if !reason.IsZero() {
			return places, reason
		}
		p.Times = append(p.Times, t)
		p.File.saw(t)
	}
	p.Forward = append(p.Forward, forward)
	p.Rows = append(p.Rows, int32(row.Number))
	if r.has(table.Reflected) {
		p.Reflected = append(p.Reflected, reflected)
	}
	if r.has(table.Frequency) {
		p.Frequencies = append(p.Frequencies, frequency)
	}
	return places, wording.Text{}
}

// byTime sorts the columns of a power file by time.
type byTime struct{ *PowerFile }

func (b byTime) Len() int           { return len(b.Times) }
func (b byTime) Less(i, j int) bool { return b.Times[i] < b.Times[j] }
func (b byTime) Swap(i, j int) {
	b.Times[i], b.Times[j] = b.Times[j], b.Times[i]
	b.Forward[i], b.Forward[j] = b.Forward[j], b.Forward[i]
	b.Rows[i], b.Rows[j] = b.Rows[j], b.Rows[i]
	if b.Reflected != nil {
		b.Reflected[i], b.Reflected[j] = b.Reflected[j], b.Reflected[i]
	}
	if b.Frequencies != nil {
		b.Frequencies[i], b.Frequencies[j] = b.Frequencies[j], b.Frequencies[i]
	}
}
