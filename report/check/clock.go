package check

import (
	"fmt"
	"math"
	"sort"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/report/evaluate"
)

// The clocks of two files seem apart when the field (or the power) is off in too
// many visits, and one offset brings it on in most of them (ours).
const (
	clockFits     = 0.8 // part of the visits that is enough for no finding
	clockBetter   = 0.9 // part of the visits that a better offset must bring on
	clockVisits   = 8   // fewer visits say nothing
	clockSampled  = 120 // visits looked at, evenly spread
	clockOffBelow = 1e-3
)

func findClock(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run, day := &s.Evaluated.Runs[i], &s.Day.Runs[i]
		visits := spread(run.Visits)
		if len(visits) < clockVisits {
			continue
		}
		for _, probe := range day.Probes {
			on := onTimes(probe.Log.Times, levels(probe.Log.Readings))
			findings = s.appendClock(findings, run, visits, on, probe.Sheet.Log, "field")
		}
		if day.Power != nil && day.Power.Times != nil {
			on := onTimes(day.Power.Times, levels(day.Power.Forward))
			findings = s.appendClock(findings, run, visits, on, *day.Sheet.Power, "forward power")
		}
	}
	return findings
}

// spread returns at most clockSampled of the visits, evenly spread.
func spread(visits []*evaluate.Visit) []*evaluate.Visit {
	if len(visits) <= clockSampled {
		return visits
	}
	chosen := make([]*evaluate.Visit, clockSampled)
	for i := range chosen {
		chosen[i] = visits[i*len(visits)/clockSampled]
	}
	return chosen
}

func levels[T quantity.Number](values []T) []float64 {
	floats := make([]float64, len(values))
	for i, x := range values {
		floats[i] = float64(x)
	}
	return floats
}

// period is a time from one edge to the next during which field or power was on.
type period struct{ from, to quantity.Instant }

// onTimes finds the periods in which the level is above the geometric mean of a
// low and a high percentile. Edges lie in the middle between two samples.
func onTimes(times []quantity.Instant, level []float64) []period {
	if len(level) == 0 {
		return nil
	}
	sorted := append([]float64(nil), level...)
	sort.Float64s(sorted)
	high := sorted[len(sorted)*19/20]
	low := math.Max(sorted[len(sorted)/20], clockOffBelow*high)
	threshold := math.Sqrt(low * high)
	var on []period
	for i := range level {
		if !(level[i] > threshold) {
			continue
		}
		if i > 0 && level[i-1] > threshold {
			on[len(on)-1].to = times[i]
			continue
		}
		on = append(on, period{from: times[i], to: times[i]})
	}
	return on
}

// fits counts the visits that lie within an on-period when the file is shifted.
func fits(visits []*evaluate.Visit, on []period, shift time.Duration) int {
	n := 0
	for _, v := range visits {
		i := sort.Search(len(on), func(i int) bool { return on[i].to.Add(shift) >= v.Record.End.Add(-tolerance) })
		if i < len(on) && on[i].from.Add(shift) <= v.Record.Start.Add(tolerance) {
			n++
		}
	}
	return n
}

// tolerance is what an edge may lie within a visit: samples are that far apart.
const tolerance = 500 * time.Millisecond

func (s *Subject) appendClock(findings []Finding, run *evaluate.Run, visits []*evaluate.Visit, on []period, entry table.Entry, what string) []Finding {
	now := fits(visits, on, 0)
	enough := func(part float64) int { return int(math.Ceil(part * float64(len(visits)))) }
	if now >= enough(clockFits) || entry.ClockOffset != 0 && now > fits(visits, on, -entry.ClockOffset) {
		return findings
	}
	shift, spread, agree := bestShift(visits, on)
	if agree < enough(clockBetter) {
		return findings
	}
	f := runFinding(run)
	f.Evidence = []Evidence{{File: entry.File, Sheet: entry.Sheet}}
	f.Message = fmt.Sprintf("The clocks of %s and of the dwell record seem apart: the %s is on during %d of %d visits; with an offset of %s (± %s) it is on during %d.",
		entry.File, what, now, len(visits), shift+entry.ClockOffset, spread, agree)
	f.Meaning = fmt.Sprintf("If the clocks were indeed apart, measure by how much and state it: clock_offset = \"%.1f s\". It is never applied by itself.",
		(shift + entry.ClockOffset).Seconds())
	return append(findings, f)
}

// bestShift returns the shift of a file for which most visits lie within an
// on-period, half the range over which that holds, and how many visits agree.
// Every pair of a visit and an on-period allows a range of shifts; the answer is
// where most of these ranges overlap.
func bestShift(visits []*evaluate.Visit, on []period) (shift, spread time.Duration, agree int) {
	type edge struct {
		at    time.Duration
		opens bool
	}
	var edges []edge
	for _, v := range visits {
		for _, p := range on {
			from, to := v.Record.End.Add(-tolerance).Sub(p.to), v.Record.Start.Add(tolerance).Sub(p.from)
			if from <= to {
				edges = append(edges, edge{from, true}, edge{to, false})
			}
		}
	}
	sort.Slice(edges, func(a, b int) bool {
		if edges[a].at != edges[b].at {
			return edges[a].at < edges[b].at
		}
		return edges[a].opens && !edges[b].opens
	})
	depth := 0
	for i, e := range edges {
		if !e.opens {
			depth--
			continue
		}
		if depth++; depth > agree {
			end := edges[min(i+1, len(edges)-1)].at
			agree, shift, spread = depth, (e.at+end)/2, (end-e.at)/2
		}
	}
	return shift.Round(100 * time.Millisecond), spread.Round(100 * time.Millisecond), agree
}
