package demoday

import (
	"sort"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// What follows lets a test find its way in a day before it plants a fault, and
// say afterwards where the fault stands.

// Visits returns the visits of a run in the order of its dwell record, each with
// its index there.
func (r *Run) Visits() (visits []*Visit, indices []int) {
	for i := range r.Dwell.Visits {
		if v := &r.Dwell.Visits[i]; v.Run == r.Sheet.ID {
			visits, indices = append(visits, v), append(indices, i)
		}
	}
	return visits, indices
}

// Window returns the indices of the samples that belong to a visit, the second
// one excluded: from the visit's start and the settling time to its end.
func (p *ProbeLog) Window(v *Visit, settle time.Duration) (from, to int) {
	from = sort.Search(len(p.Samples), func(i int) bool { return p.Samples[i].At >= v.Start.Add(settle) })
	to = sort.Search(len(p.Samples), func(i int) bool { return p.Samples[i].At >= v.End })
	return from, to
}

// Window returns the indices of the rows that belong to a visit, the second one
// excluded.
func (p *PowerFile) Window(v *Visit, settle time.Duration) (from, to int) {
	from = sort.Search(len(p.Rows), func(i int) bool { return p.Rows[i].At >= v.Start.Add(settle) })
	to = sort.Search(len(p.Rows), func(i int) bool { return p.Rows[i].At >= v.End })
	return from, to
}

// Factor is what a reading of the probe is multiplied by to give the corrected
// field of the unmodulated carrier.
func (p *Probe) Factor(f quantity.Frequency, m quantity.Modulation) quantity.Ratio {
	return p.Correction.fieldFactor(f) * p.modulationFactor(m)
}

// SetReading sets a sample to a total, its axes in proportion.
func (s *Sample) SetReading(total quantity.FieldStrength) {
	for i := range s.Axes {
		s.Axes[i] *= total / s.Total
	}
	s.Total = total
}

// Written returns the text that the log writes for a field in a column.
func (p *ProbeLog) Written(c table.Column, e quantity.FieldStrength) string { return p.fields(c)(e) }

// WrittenStep is the step between neighbouring frequencies as the dwell record
// writes them.
func (d *DwellRecord) WrittenStep() quantity.Frequency {
	convert, _ := quantity.FrequencyUnit(d.Layout.unit(table.Frequency))
	step := convert(1)
	for range d.Decimals {
		step /= 10
	}
	return step
}

// Resolution is the resolution in which the record is read to write frequencies.
func (d *DwellRecord) Resolution() quantity.Frequency {
	switch {
	case d.Entry.FrequencyResolution > 0:
		return d.Entry.FrequencyResolution
	case d.Layout.Workbook:
		return 0
	default:
		return d.WrittenStep()
	}
}
