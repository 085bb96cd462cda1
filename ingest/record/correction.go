package record

import (
	"math"
	"sort"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/spelling"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// Use says what a correction is applied to, which decides how a plain factor
// becomes decibels.
type Use int

// The uses of a correction.
const (
	OfField Use = iota // 20 times the decimal logarithm of the factor
	OfPower            // 10 times
)

// decibels converts a plain factor.
func (u Use) decibels(factor float64) quantity.Decibel {
	if u == OfPower {
		return quantity.Power(factor).Over(1)
	}
	return quantity.FieldStrength(factor).Over(1)
}

// ReadCorrection reads a correction table for the use. Its points are sorted by
// frequency; the same frequency with two factors is an error.
func ReadCorrection(src table.Source, entry table.Entry, s Settings, use Use) (*Correction, error) {
	c := &correctionReader{use: use}
	if err := readTable(src, entry, s, correctionKind, c); err != nil {
		return nil, err
	}
	return c.record, nil
}

type correctionReader struct {
	use      Use
	record   *Correction
	problems place.Messages
	refused  int // plain factors that are not above zero
}

func (c *correctionReader) read(l *layout) (evidence, error) {
	c.record = &Correction{InDecibels: quantity.IsDecibel(l.columns[table.Factor].unit), Certificate: l.certificateInPreamble()}
	c.problems, c.refused = nil, 0
	r := &reader{layout: l}
	err := r.eachRow(&c.record.File, func(row *table.Row) wording.Text {
		point, reason := c.point(r, row)
		if reason.IsZero() {
			c.record.Points = append(c.record.Points, point)
		}
		return reason
	})
	return r.seen, err
}

// check sorts the points, and reports what makes the table no correction.
func (c *correctionReader) check(l *layout) error {
	if c.refused > 1 {
		c.problems[0].Text.Values["count"] = c.refused
	}
	if c.refused == 0 {
		c.record.sortPoints(l, &c.problems)
	}
	if err := c.problems.Err(); err != nil {
		return err
	}
	return c.record.File.finish(l)
}

// point reads one row, or says why it cannot.
func (c *correctionReader) point(r *reader, row *table.Row) (CorrectionPoint, wording.Text) {
	p := CorrectionPoint{Row: row.Number, Uncertainty: r.text(row, uncertainty)}
	f, _, reason := r.frequency(row, r.columns[table.Frequency])
	if !reason.IsZero() {
		return p, reason
	}
	n, reason := r.number(row, r.columns[table.Factor])
	if !reason.IsZero() {
		return p, reason
	}
	p.Frequency, p.Factor = f, quantity.Decibel(n.Value)
	if c.record.InDecibels {
		return p, wording.Text{}
	}
	if n.Value <= 0 {
		if c.refused++; c.refused == 1 {
			where := r.where(r.columns[table.Factor])
			where.Row = row.Number
			c.problems.Add(place.Message{Place: where, Text: wording.Say("correction.not-above-zero", wording.Values{"found": table.Shown(r.columns[table.Factor].of(row)), "count": 1})})
		}
		return p, wording.Text{}
	}
	p.Factor = c.use.decibels(n.Value)
	return p, wording.Text{}
}

// sortPoints sorts by frequency and takes out points that stand twice.
func (c *Correction) sortPoints(l *layout, problems *place.Messages) {
	sort.SliceStable(c.Points, func(i, j int) bool { return c.Points[i].Frequency < c.Points[j].Frequency })
	kept := c.Points[:0]
	for _, p := range c.Points {
		if len(kept) == 0 || !samePoint(kept[len(kept)-1].Frequency, p.Frequency) {
			kept = append(kept, p)
			continue
		}
		first := kept[len(kept)-1]
		if first.Factor != p.Factor {
			problems.Add(place.Message{Place: l.file.Place(p.Row, ""), Text: wording.Say("correction.two-factors", wording.Values{"frequency": p.Frequency,
				"first": first.Factor, "firstRow": first.Row, "second": p.Factor, "secondRow": p.Row})})
		}
	}
	c.Points = kept
}

// samePoint compares frequencies with the slack of borders.
func samePoint(a, b quantity.Frequency) bool {
	return math.Abs(float64(b-a)) <= quantity.Slack*math.Abs(float64(a))
}

// certificateInPreamble returns the number of the certificate that a line above
// the header names.
func (l *layout) certificateInPreamble() string {
	known := registerHeaderWords()
	for i := range l.preamble {
		name, value := parted(l.preamble[i].Cells)
		if value != "" && known[spelling.Fold(name)] == certificate {
			return table.Clean(value)
		}
	}
	return ""
}
