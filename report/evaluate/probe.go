package evaluate

import (
	"fmt"
	"math"
	"sort"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
)

// window is the part of a visit in which samples count, start included, end not.
type window struct{ start, end quantity.Instant }

func (v *Visit) window(settle time.Duration) window {
	return window{start: v.Record.Start.Add(settle), end: v.Record.End}
}

// span returns the indices [from, to) of the sorted times that lie in the window.
func (w window) span(times []quantity.Instant) (from, to int) {
	from = sort.Search(len(times), func(i int) bool { return times[i] >= w.start })
	to = from + sort.Search(len(times)-from, func(i int) bool { return times[from+i] >= w.end })
	return from, to
}

// probeLog is a probe of a run, prepared for the figures of its visits.
type probeLog struct {
	index   int
	probe   *ingest.Probe
	frozen  []record.Block
	samples series    // of the visit at hand
	usable  []float64 // of the visit at hand
}

// frozenBlocks returns the repeating blocks that hold all samples of two or more
// visits of the run: a levelled field may repeat a value, a live probe does not
// repeat it through a change of frequency.
func frozenBlocks(log *record.ProbeLog, windows []window) []record.Block {
	var frozen []record.Block
	for _, block := range log.Repeats {
		held := 0
		for _, w := range windows {
			from, to := w.span(log.Times)
			if from < to && from >= block.First && to-1 <= block.Last {
				held++
			}
		}
		if held >= 2 {
			frozen = append(frozen, block)
		}
	}
	return frozen
}

// fault says why a sample cannot be trusted; "" when it can.
func (p *probeLog) fault(i int) string {
	log := p.probe.Log
	if log.Faults[i] != record.NoFault {
		return "marked overloaded or invalid"
	}
	limits := p.probe.Sheet.Range
	reading := float64(log.Readings[i])
	if low := float64(limits.Low); reading < low-quantity.Slack*low {
		return fmt.Sprintf("reading below the probe's range from %s", limits.Low)
	}
	if high := float64(limits.High); reading > high+quantity.Slack*high {
		return fmt.Sprintf("reading above the probe's range to %s", limits.High)
	}
	for _, block := range p.frozen {
		if i >= block.First && i <= block.Last {
			return fmt.Sprintf("frozen: %s repeats one value through %d samples", block.Column, block.Last-block.First+1)
		}
	}
	return ""
}

// figures computes what one probe says of one visit. lowest is L, NaN where no
// limit applies.
func (p *probeLog) figures(v *Visit, w window, lowest quantity.FieldStrength) (ProbeFigures, error) {
	log := p.probe.Log
	undefined := quantity.Undefined[quantity.FieldStrength]()
	figures := ProbeFigures{Probe: p.index, Asset: p.probe.Sheet.Asset, File: log.File.Path,
		Sustained: undefined, Minimum: undefined, Median: undefined, Maximum: undefined, LowestRaw: undefined,
		Held: math.NaN(), FrequencyMedian: quantity.Undefined[quantity.Frequency]()}
	var err error
	figures.Ledger, figures.Factor, err = correct(p.probe, v.Frequency(), v.Modulation)
	if err != nil {
		return figures, err
	}
	from, to := w.span(log.Times)
	if from == to {
		return figures, nil
	}
	figures.Window = rowRange(log.Rows[from:to])
	s := p.take(&figures, w, from, to)
	longest, need := s.longest(), float64(v.Required-time.Millisecond)
	figures.ValidStretch, figures.Continuous = longest/1e9, longest >= need && figures.Samples > 0
	figures.FrequencyMedian = p.frequencyMedian(from)
	if figures.Samples == 0 || !quantity.Defined(figures.Factor) {
		return figures, nil
	}
	p.summarise(&figures)
	if share, ok := p.harmonicShare(v, figures.Median); ok {
		figures.apply(share, s)
	}
	if level, i := s.sustained(need); i >= 0 {
		figures.Sustained = quantity.FieldStrength(level)
		figures.LowestRow = int(log.Rows[from+i])
		figures.LowestRaw = log.Readings[from+i]
	}
	if quantity.Defined(lowest) {
		enough := lowest.Plus(-quantity.LevelSlack)
		if figures.Held = longest / 1e9; !(figures.Minimum >= enough) {
			figures.Held = s.held(float64(enough)) / 1e9
		}
	}
	return figures, nil
}

// take puts the samples of a window into the series, corrected, and counts the
// usable ones.
func (p *probeLog) take(figures *ProbeFigures, w window, from, to int) *series {
	log, s := p.probe.Log, &p.samples
	s.reset(float64(w.end.Sub(w.start)), log.Gap)
	for i := from; i < to; i++ {
		why := p.fault(i)
		s.add(float64(log.Times[i].Sub(w.start)), float64(log.Readings[i])*float64(figures.Factor), why == "")
		if why == "" {
			figures.Samples++
			continue
		}
		figures.Invalid++
		figures.addReason(why)
	}
	s.arrange()
	return s
}

func (figures *ProbeFigures) addReason(why string) {
	for _, known := range figures.InvalidWhy {
		if known == why {
			return
		}
	}
	figures.InvalidWhy = append(figures.InvalidWhy, why)
}

// summarise computes minimum, median and maximum of the usable samples.
func (p *probeLog) summarise(figures *ProbeFigures) {
	least, most := math.Inf(1), math.Inf(-1)
	p.usable = p.usable[:0]
	for i, e := range p.samples.field {
		if p.samples.valid[i] {
			least, most = min(least, e), max(most, e)
			p.usable = append(p.usable, e)
		}
	}
	figures.Minimum = quantity.FieldStrength(least)
	figures.Median = quantity.FieldStrength(quantity.Median(p.usable))
	figures.Maximum = quantity.FieldStrength(most)
}

// frequencyMedian returns the median of the log's own frequency over the usable
// samples of the window that begins at index from, NaN where the log has none.
func (p *probeLog) frequencyMedian(from int) quantity.Frequency {
	if p.probe.Log.Frequencies == nil {
		return quantity.Undefined[quantity.Frequency]()
	}
	p.usable = p.usable[:0]
	for i, valid := range p.samples.valid {
		if f := p.probe.Log.Frequencies[from+i]; valid && quantity.Defined(f) {
			p.usable = append(p.usable, float64(f))
		}
	}
	return quantity.Frequency(quantity.Median(p.usable))
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
