package evaluate

import (
	"fmt"
	"math"
	"sort"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
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
	index     int
	probe     *ingest.Probe
	harmonics []jobsheet.Harmonic
	frozen    []record.Block
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
	if log.Bad[i] {
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
	s := p.series(&figures, w, from, to)
	need := float64(v.Required - time.Millisecond)
	isValid := func(i int) bool { return s.valid[i] }
	longest := s.longest(isValid)
	figures.ValidStretch, figures.Continuous = longest/1e9, longest >= need && figures.Samples > 0
	figures.FrequencyMedian = p.frequencyMedian(s, from)
	if figures.Samples == 0 || !quantity.Defined(figures.Factor) {
		return figures, nil
	}
	figures.summarise(s)
	if share, ok := p.harmonicShare(v, figures.Median); ok {
		figures.apply(share, s)
	}
	if level, i := s.sustained(need); i >= 0 {
		figures.Sustained = quantity.FieldStrength(level)
		figures.LowestRow = int(log.Rows[from+i])
		figures.LowestRaw = log.Readings[from+i]
	}
	if quantity.Defined(lowest) {
		enough := float64(lowest.Plus(-quantity.LevelSlack))
		figures.Held = s.longest(func(i int) bool { return s.valid[i] && s.field[i] >= enough }) / 1e9
	}
	return figures, nil
}

// series takes the samples of a window, corrected, and counts the usable ones.
func (p *probeLog) series(figures *ProbeFigures, w window, from, to int) *series {
	log, n := p.probe.Log, to-from
	s := &series{at: make([]float64, n), field: make([]float64, n), valid: make([]bool, n),
		window: float64(w.end.Sub(w.start)), gap: log.Gap}
	for i := range s.at {
		s.at[i] = float64(log.Times[from+i].Sub(w.start))
		s.field[i] = float64(log.Readings[from+i]) * float64(figures.Factor)
		why := p.fault(from + i)
		s.valid[i] = why == ""
		if s.valid[i] {
			figures.Samples++
			continue
		}
		figures.Invalid++
		figures.addReason(why)
	}
	s.shareTime()
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
func (figures *ProbeFigures) summarise(s *series) {
	usable := make([]float64, 0, len(s.field))
	for i, e := range s.field {
		if s.valid[i] {
			usable = append(usable, e)
		}
	}
	middle := median(usable)
	figures.Minimum = quantity.FieldStrength(usable[0])
	figures.Median = quantity.FieldStrength(middle)
	figures.Maximum = quantity.FieldStrength(usable[len(usable)-1])
}

// frequencyMedian returns the median of the log's own frequency over the usable
// samples, NaN where the log has none.
func (p *probeLog) frequencyMedian(s *series, from int) quantity.Frequency {
	if p.probe.Log.Frequencies == nil {
		return quantity.Undefined[quantity.Frequency]()
	}
	var written []float64
	for i := range s.at {
		if f := p.probe.Log.Frequencies[from+i]; s.valid[i] && quantity.Defined(f) {
			written = append(written, float64(f))
		}
	}
	return quantity.Frequency(median(written))
}

// median sorts the values and returns the middle one, or the mean of the two
// middle ones; NaN where there are none.
func median(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return math.NaN()
	}
	sort.Float64s(values)
	if n%2 == 1 {
		return values[n/2]
	}
	return (values[n/2-1] + values[n/2]) / 2
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
