package check

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

// The field per root watt of a setup changes slowly with frequency and not at
// all with level. A visit stands out when it is further from the median of its
// neighbours than both of these (ours, no standard gives a figure):
const (
	jumpLeast     = 3.0    // dB
	jumpDeviation = 6.0    // times the standard deviation estimated from the MAD
	madToSigma    = 1.4826 // of a normal distribution
	neighboursFew = 6      // fewer neighbours than this say nothing
	windowOctaves = 0.25   // half-width of the window
)

func findLinearity(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		visits := byFrequency(run)
		for k, v := range visits {
			jump := jumpAgainstNeighbours(visits, k)
			if jump.IsZero() {
				jump = s.jumpWithin(v)
			}
			if jump.IsZero() {
				continue
			}
			f := visitFinding(run, v)
			f.Evidence = levelWindow(v)
			f.Text = jump
			findings = append(findings, f)
		}
	}
	return findings
}

// byFrequency returns the required visits of a run that held a field and have a
// field per root watt, ascending.
func byFrequency(run *evaluate.Run) []*evaluate.Visit {
	var visits []*evaluate.Visit
	for _, v := range run.Visits {
		if v.IsRequired() && quantity.Defined(v.Sustained) && v.Power.PerRootWatt > 0 && !math.IsInf(v.Power.PerRootWatt, 0) {
			visits = append(visits, v)
		}
	}
	sort.SliceStable(visits, func(a, b int) bool { return visits[a].Frequency() < visits[b].Frequency() })
	return visits
}

func decibels(x float64) float64 { return 20 * math.Log10(x) }

// jumpAgainstNeighbours compares a visit with those in a window of log-frequency
// around it, the visits at its own frequency left out.
func jumpAgainstNeighbours(visits []*evaluate.Visit, k int) wording.Text {
	var around []float64
	f := float64(visits[k].Frequency())
	for step := -1; step <= 1; step += 2 {
		for i := k + step; i >= 0 && i < len(visits); i += step {
			other := float64(visits[i].Frequency())
			if math.Abs(math.Log2(other/f)) > windowOctaves {
				break
			}
			if other != f {
				around = append(around, decibels(visits[i].Power.PerRootWatt))
			}
		}
	}
	if len(around) < neighboursFew {
		return wording.Text{}
	}
	middle, sigma := robust(around)
	off := decibels(visits[k].Power.PerRootWatt) - middle
	if math.Abs(off) < math.Max(jumpLeast, jumpDeviation*sigma) {
		return wording.Text{}
	}
	return wording.Say("linearity.neighbours", wording.Values{"off": signedDecibels(off), "neighbours": len(around)})
}

// robust returns the median of the values and their standard deviation as the
// median absolute deviation estimates it.
func robust(values []float64) (middle, sigma float64) {
	middle = medianOf(values)
	deviations := make([]float64, len(values))
	for i, x := range values {
		deviations[i] = math.Abs(x - middle)
	}
	return middle, madToSigma * medianOf(deviations)
}

// medianOf returns the median and leaves the values in their order.
func medianOf(values []float64) float64 { return quantity.Median(slices.Clone(values)) }

// withinFew is how many power rows each side of a jump within a visit must have.
const withinFew = 3

// jumpWithin looks for a lasting change of the field per root watt during a
// visit: the split into two parts whose medians differ most. It needs a power
// file with times.
func (s *Subject) jumpWithin(v *evaluate.Visit) wording.Text {
	series := s.perRootWatt(v)
	if len(series) < 2*withinFew {
		return wording.Text{}
	}
	before, after := mediansOf(series, false), mediansOf(series, true)
	best, at := 0.0, 0
	for split := withinFew; split <= len(series)-withinFew; split++ {
		if off := after[len(series)-split] - before[split]; math.Abs(off) > math.Abs(best) {
			best, at = off, split
		}
	}
	if math.Abs(best) < jumpLeast {
		return wording.Text{}
	}
	_, scatterBefore := robust(series[:at])
	_, scatterAfter := robust(series[at:])
	if math.Abs(best) < jumpDeviation*math.Max(scatterBefore, scatterAfter) {
		return wording.Text{}
	}
	return wording.Say("linearity.within", wording.Values{"off": signedDecibels(best)})
}

// signedDecibels writes a change of level with its sign: "+3.2 dB".
func signedDecibels(change float64) string { return fmt.Sprintf("%+.1f dB", change) }

// mediansOf returns, for every k, the median of the first k values, or of the last.
func mediansOf(values []float64, last bool) []float64 {
	ranks := quantity.NewRanks(values)
	medians := make([]float64, len(values)+1)
	for k := range values {
		value := values[k]
		if last {
			value = values[len(values)-1-k]
		}
		ranks.Add(value)
		medians[k+1] = ranks.Percentile(0.5)
	}
	return medians
}

// perRootWatt pairs each power row of a visit with the visit's reading nearest in
// time, in decibels; nil where the power file has no times.
func (s *Subject) perRootWatt(v *evaluate.Visit) []float64 {
	run := &s.Day.Runs[v.Run]
	if run.Power == nil || run.Power.Times == nil || len(run.Probes) == 0 {
		return nil
	}
	probe := &run.Probes[v.Sources[v.Deciding].Probe]
	log := probe.Log
	start, end := v.Record.Start.Add(s.Requirement.Settle), v.Record.End
	times := run.Power.Times
	valid, invalid := probe.Sheet.Valid()
	first, behind := within(log.Times, max(start, valid), min(end, invalid))
	var series []float64
	from, to := within(times, start, end)
	for i := from; i < to; i++ {
		reading := nearestReading(log.Times[first:behind], log.Readings[first:behind], times[i], log.Gap)
		if forward := float64(run.Power.Forward[i]); reading > 0 && forward > 0 {
			series = append(series, decibels(float64(reading))-decibels(math.Sqrt(forward)))
		}
	}
	return series
}

// within returns the indices [from, to) of the sorted times in [start, end).
func within(times []quantity.Instant, start, end quantity.Instant) (from, to int) {
	from = sort.Search(len(times), func(i int) bool { return times[i] >= start })
	to = sort.Search(len(times), func(i int) bool { return times[i] >= end })
	return from, max(from, to)
}

// nearestReading returns the reading nearest in time, NaN where none is within gap.
func nearestReading(times []quantity.Instant, readings []quantity.FieldStrength, at quantity.Instant, gap float64) quantity.FieldStrength {
	i := sort.Search(len(times), func(i int) bool { return times[i] >= at })
	if i == len(times) || i > 0 && at-times[i-1] < times[i]-at {
		i--
	}
	if i < 0 || math.Abs(float64(times[i].Sub(at))) > gap {
		return quantity.Undefined[quantity.FieldStrength]()
	}
	return readings[i]
}
