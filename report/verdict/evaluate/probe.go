package evaluate

import (
	"math"
	"slices"
	"sort"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
)

// window is a part of time, start included, end not.
type window struct{ start, end quantity.Instant }

// span returns the indices [from, to) of the sorted times that lie in the window.
func (w window) span(times []quantity.Instant) (from, to int) {
	from = sort.Search(len(times), func(i int) bool { return times[i] >= w.start })
	to = from + sort.Search(len(times)-from, func(i int) bool { return times[from+i] >= w.end })
	return from, to
}

// span is the samples of a log in the window of a visit: [from, to).
type span struct{ from, to int }

// cut is the part of a window that lies in another one; it is empty where none does.
func (w window) cut(by window) window {
	part := window{max(w.start, by.start), min(w.end, by.end)}
	part.end = max(part.start, part.end)
	return part
}

// probeLog is a probe of a run, prepared for the figures of its visits.
type probeLog struct {
	index   int
	probe   *ingest.Probe
	valid   window         // when its readings count
	spans   []span         // of each visit of the run, as far as they count
	frozen  []record.Block // disjoint, in order
	samples series         // of the visit at hand
	usable  []float64      // of the visit at hand
}

func newProbeLog(index int, probe *ingest.Probe, windows []window) *probeLog {
	p := &probeLog{index: index, probe: probe, spans: make([]span, len(windows))}
	p.valid.start, p.valid.end = probe.Sheet.Valid()
	for i, w := range windows {
		from, to := w.cut(p.valid).span(probe.Log.Times)
		p.spans[i] = span{from, to}
	}
	p.frozen = frozenBlocks(probe.Log.Repeats, p.spans)
	return p
}

// frozenBlocks returns the repeating blocks that hold all samples of two or more
// visits of the run: a levelled field may repeat a value, a live probe does not
// repeat it through a change of frequency. Blocks that overlap become one.
func frozenBlocks(repeats []record.Block, spans []span) []record.Block {
	if len(repeats) == 0 {
		return nil
	}
	held := slices.DeleteFunc(slices.Clone(spans), func(s span) bool { return s.from == s.to })
	slices.SortFunc(held, func(a, b span) int { return a.from - b.from })
	var frozen []record.Block
	for _, block := range repeats {
		visits := 0
		for i := sort.Search(len(held), func(i int) bool { return held[i].from >= block.First }); i < len(held) && held[i].from <= block.Last && visits < 2; i++ {
			if held[i].to-1 <= block.Last {
				visits++
			}
		}
		if visits < 2 {
			continue
		}
		if n := len(frozen); n > 0 && block.First <= frozen[n-1].Last {
			frozen[n-1].Last = max(frozen[n-1].Last, block.Last)
			continue
		}
		frozen = append(frozen, block)
	}
	return frozen
}

// distrust is why a sample counts in no figure; it keeps its time.
type distrust uint8

const (
	faulty     distrust = 1 << iota // the probe: marked, unreadable, out of range, frozen
	otherField                      // the log gives another frequency than the visit's
	sharedTime                      // the time is that of another visit too
)

// fault says why the probe cannot be trusted at a sample; the zero value when it can.
func (p *probeLog) fault(i int) ProbeFault {
	log := p.probe.Log
	switch log.Faults[i] {
	case record.Marked:
		return ProbeFault{Kind: MarkedInvalid}
	case record.NoReading:
		return ProbeFault{Kind: NoReading}
	}
	limits := p.probe.Sheet.Range
	reading := float64(log.Readings[i])
	if low := float64(limits.Low); reading < low-quantity.Slack*low {
		return ProbeFault{Kind: BelowRange, Limit: limits.Low}
	}
	if high := float64(limits.High); reading > high+quantity.Slack*high {
		return ProbeFault{Kind: AboveRange, Limit: limits.High}
	}
	if len(p.frozen) > 0 {
		k := sort.Search(len(p.frozen), func(k int) bool { return p.frozen[k].Last >= i })
		if k < len(p.frozen) && p.frozen[k].First <= i {
			block := p.frozen[k]
			return ProbeFault{Kind: Frozen, Column: block.Column, Samples: quantity.Samples(block.Last - block.First + 1)}
		}
	}
	return ProbeFault{}
}

// figures computes what one probe says of one visit, and lays its samples out.
func (p *probeLog) figures(v *Visit, w window) (SourceFigures, error) {
	log := p.probe.Log
	undefined := quantity.Undefined[quantity.FieldStrength]()
	figures := SourceFigures{Probe: p.index, Asset: p.probe.Sheet.Asset, File: log.File.Path,
		Minimum: undefined, Median: undefined, Maximum: undefined, LowestRaw: undefined,
		OtherFrequency: quantity.Undefined[quantity.Frequency]()}
	var err error
	figures.Ledger, figures.Factor, err = correct(p.probe, v.Frequency(), v.Modulation, v.ofPeak)
	if err != nil {
		return figures, err
	}
	span := p.spans[v.Index]
	if span.from < span.to {
		figures.Window = rowRange(log.Rows[span.from:span.to])
	}
	p.take(&figures, v, w, span)
	if v.Limit > 0 && !p.probe.Sheet.Unmodulated && v.Modulation.Kind != quantity.CW {
		figures.SecondPart, figures.Levelled = p.levelled(v, figures.modulated())
	}
	if figures.Samples == 0 || !quantity.Defined(figures.Factor) {
		return figures, nil
	}
	p.usable = figures.summarise(&p.samples, p.usable)
	figures.takeHarmonicsOff(v, p)
	return figures, nil
}

// series is the samples of the visit at hand.
func (p *probeLog) series() *series { return &p.samples }

// reading is a sample of the visit at hand.
func (p *probeLog) reading(v *Visit, sample int) (part, row int, raw quantity.FieldStrength) {
	i := p.spans[v.Index].from + sample
	return 0, int(p.probe.Log.Rows[i]), p.probe.Log.Readings[i]
}

// part is the part of a window in which the readings count, in nanoseconds since it
// opened. Times are whole nanoseconds: where the probe was changed, its last one is
// that before the change, so that what it read and what the next one read never
// touch, and no stretch of time passes over the change.
func (p *probeLog) part(w window) (from, to float64) {
	part := w.cut(p.valid)
	if part.end < w.end {
		part.end = max(part.start, part.end-1)
	}
	return float64(part.start.Sub(w.start)), float64(part.end.Sub(w.start))
}

// take puts the samples of a window into the series, corrected, and counts the
// usable ones and the others by their reason.
func (p *probeLog) take(figures *SourceFigures, v *Visit, w window, samples span) {
	log, s := p.probe.Log, &p.samples
	from, to := p.part(w)
	s.reset(from, to, log.Gap)
	near := v.Near(log.Resolution)
	for i := samples.from; i < samples.to; i++ {
		why := distrust(0)
		if fault := p.fault(i); fault.Kind != NoFault {
			why |= faulty
			figures.Faulty++
			figures.addFault(fault)
		}
		if log.Frequencies != nil {
			if f := log.Frequencies[i]; f > v.Frequency()+near || f < v.Frequency()-near {
				why |= otherField
				if figures.Disagreeing++; figures.Disagreeing == 1 {
					figures.OtherFrequency = f
				}
			}
		}
		if v.SharedTime != nil && holds(v.SharedTime, log.Times[i]) {
			why |= sharedTime
			figures.Shared++
		}
		s.add(float64(log.Times[i].Sub(w.start)), float64(log.Readings[i])*float64(figures.Factor), why == 0)
		if why == 0 {
			figures.Samples++
		} else {
			figures.Invalid++
		}
	}
	s.layCells()
}

func (figures *SourceFigures) addFault(fault ProbeFault) {
	if !slices.Contains(figures.Faults, fault) {
		figures.Faults = append(figures.Faults, fault)
	}
}

// summarise computes minimum, median and maximum of the usable samples, which it
// returns in the memory that it is given.
func (figures *SourceFigures) summarise(samples *series, usable []float64) []float64 {
	least, most := math.Inf(1), math.Inf(-1)
	usable = usable[:0]
	for i, e := range samples.field {
		if samples.valid[i] {
			least, most = min(least, e), max(most, e)
			usable = append(usable, e)
		}
	}
	figures.Minimum = quantity.FieldStrength(least)
	figures.Median = quantity.FieldStrength(quantity.Median(usable))
	figures.Maximum = quantity.FieldStrength(most)
	return usable
}

// rowRange returns the lowest and the highest of the rows; the zero range for none.
func rowRange(rows []int32) RowRange {
	if len(rows) == 0 {
		return RowRange{}
	}
	r := RowRange{First: int(rows[0]), Last: int(rows[0])}
	for _, row := range rows {
		r.First, r.Last = min(r.First, int(row)), max(r.Last, int(row))
	}
	return r
}
