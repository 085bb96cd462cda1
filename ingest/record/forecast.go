package record

import (
	"sort"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// LowLevelPoint is one row of a low-level record: the field that a forward power
// gave, with the carrier unmodulated. Both are above zero.
type LowLevelPoint struct {
	Row       int
	Frequency quantity.Frequency
	Forward   quantity.Power
	Field     quantity.FieldStrength
}

// LowLevel is a record of the field at a low level, made before the test: at
// least one point, sorted by frequency, each frequency once.
type LowLevel struct {
	File   File
	Points []LowLevelPoint
}

var lowLevelKind = &kind{
	name:    "a low-level record",
	columns: []table.Column{table.Frequency, table.Forward, table.Field, table.Reflected, net, table.Status, validity},
	needs: []need{
		{"a frequency column", one(table.Frequency)},
		{"a forward-power column", one(table.Forward)},
		{"a field column", one(table.Field)},
	},
	words: headerWords,
}

// ReadLowLevel reads a low-level record. The same frequency with two results is
// an error, because the record does not say which of them holds.
func ReadLowLevel(src table.Source, entry table.Entry, s Settings) (*LowLevel, error) {
	r := &lowLevelReader{}
	if err := readTable(src, entry, s, lowLevelKind, r); err != nil {
		return nil, err
	}
	return r.record, nil
}

type lowLevelReader struct{ record *LowLevel }

func (p *lowLevelReader) read(l *layout) (evidence, error) {
	p.record = &LowLevel{}
	r := &reader{layout: l}
	err := r.eachRow(&p.record.File, func(row *table.Row) wording.Text {
		point, reason := r.lowLevelPoint(row)
		if reason.IsZero() {
			p.record.Points = append(p.record.Points, point)
		}
		return reason
	})
	return r.seen, err
}

// check sorts the points, takes out those that stand twice alike, and reports
// those that stand twice with another result.
func (p *lowLevelReader) check(l *layout) error {
	points := p.record.Points
	sort.SliceStable(points, func(i, j int) bool { return points[i].Frequency < points[j].Frequency })
	var problems place.Messages
	kept := points[:0]
	for _, point := range points {
		if len(kept) == 0 || !samePoint(kept[len(kept)-1].Frequency, point.Frequency) {
			kept = append(kept, point)
			continue
		}
		first := kept[len(kept)-1]
		if first.Forward != point.Forward || first.Field != point.Field {
			problems.Add(place.Message{Place: l.file.Place(point.Row, ""), Text: wording.Say("forecast.two-results", wording.Values{"frequency": point.Frequency,
				"field": first.Field, "forward": first.Forward, "row": first.Row, "otherField": point.Field, "otherForward": point.Forward, "otherRow": point.Row})})
		}
	}
	p.record.Points = kept
	if err := problems.Err(); err != nil {
		return err
	}
	return p.record.File.finish(l)
}

// lowLevelPoint reads one row, or says why it cannot.
func (r *reader) lowLevelPoint(row *table.Row) (LowLevelPoint, wording.Text) {
	p := LowLevelPoint{Row: row.Number}
	var reason wording.Text
	if p.Frequency, _, reason = r.frequency(row, r.columns[table.Frequency]); !reason.IsZero() {
		return p, reason
	}
	if p.Forward, reason = r.power(row, r.columns[table.Forward]); !reason.IsZero() {
		return p, reason
	}
	if p.Field, _, reason = r.field(row, r.columns[table.Field]); !reason.IsZero() {
		return p, reason
	}
	if !(p.Forward > 0 && p.Field > 0) {
		return p, wording.Say("row.zero-power-or-field", nil)
	}
	return p, r.markedBad(row)
}

// markedBad says that a row is marked as overloaded or invalid, or bears a mark
// that is not known.
func (r *reader) markedBad(row *table.Row) wording.Text {
	if c := r.columns[table.Status]; c != nil {
		if bad, unknown := statusMark(c, c.of(row)); !unknown.IsZero() {
			return unknown
		} else if bad {
			return wording.Say("row.marked-overloaded", nil)
		}
	}
	if c := r.columns[validity]; c != nil {
		if bad, unknown := validityMark(c, c.of(row)); !unknown.IsZero() {
			return unknown
		} else if bad {
			return wording.Say("row.marked-invalid", nil)
		}
	}
	return wording.Text{}
}
