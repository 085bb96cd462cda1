package check

import (
	"math"
	"sort"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

// The clocks of two files seem apart when the field (or the power) is off in too
// many visits, and one offset brings it on in most of them (ours).
const (
	clockFits    = 0.6                 // part of the visits that is enough for no finding
	clockBetter  = 0.8                 // part of the visits that a better offset must bring on
	clockVisits  = 8                   // fewer visits say nothing
	clockSampled = 120                 // visits looked at, evenly spread
	clockLeast   = time.Second         // a smaller offset is no finding
	clockNear    = quantity.Decibel(6) // a field that is this near to its level was on
)

// idle says how a level shows that field or power is off: near the level at which
// it idles between the steps. It is on well above that.
type idle struct {
	over  float64 // times the idle level is on; 8 to 10 dB
	least float64 // part of the high level that an instrument may show of nothing
}

var (
	fieldIdle = idle{over: 2.5, least: 1e-3}
	powerIdle = idle{over: 10, least: 1e-6}
)

// idlePercentile: one reading in so many is idle or lower.
const idlePercentile = 20

func findClock(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run, day := &s.Evaluated.Runs[i], &s.Day.Runs[i]
		visits := spread(run.Visits)
		if len(visits) < clockVisits {
			continue
		}
		for k, probe := range day.Probes {
			c := comparison{entry: probe.Sheet.Log, what: wording.Say("clock.field", nil), visits: spread(during(run.Visits, probe.Sheet))}
			c.agrees = func(v *evaluate.Visit) bool { return minimumOf(v, k).Over(v.Lowest) > -clockNear }
			if len(c.visits) >= clockVisits && !c.plainlyFits() {
				c.listen(probe.Log.Times, levels(probe.Log.Readings), fieldIdle)
				findings = c.append(findings, run)
			}
		}
		if day.Power != nil && day.Power.Times != nil {
			c := comparison{entry: *day.Sheet.Power, what: wording.Say("clock.power", nil), visits: visits}
			c.agrees = func(*evaluate.Visit) bool { return false }
			c.listen(day.Power.Times, levels(day.Power.Forward), powerIdle)
			findings = c.append(findings, run)
		}
	}
	return findings
}

// during returns the visits that lie wholly within the time in which a probe was in
// use.
func during(visits []*evaluate.Visit, probe *jobsheet.Probe) []*evaluate.Visit {
	if !probe.IsBounded() {
		return visits
	}
	from, to := probe.Valid()
	var within []*evaluate.Visit
	for _, v := range visits {
		if from <= v.Record.Start && v.Record.End <= to {
			within = append(within, v)
		}
	}
	return within
}

// minimumOf is the least field that a probe, given by its index in the job sheet,
// shows in a visit; undefined where it shows none.
func minimumOf(v *evaluate.Visit, probe int) quantity.FieldStrength {
	for _, p := range v.Probes() {
		if p.Probe == probe {
			return p.Minimum
		}
	}
	return quantity.Undefined[quantity.FieldStrength]()
}

// comparison is one file whose on-times are compared with the visits of a run.
type comparison struct {
	entry  table.Entry
	what   wording.Text
	visits []*evaluate.Visit
	here   []period                     // within the time of the run, told by what the file shows in that time
	on     []period                     // in the whole file
	agrees func(v *evaluate.Visit) bool // a figure of the visit shows that the file agrees as it is
}

// plainlyFits reports whether the figures of the visits show that the file agrees
// as it is, so that its edges need not be looked for.
func (c *comparison) plainlyFits() bool {
	n := 0
	for _, v := range c.visits {
		if c.agrees(v) {
			n++
		}
	}
	return n >= c.enough(clockFits)
}

// enough is how many visits a part of them is.
func (c *comparison) enough(part float64) int { return int(math.Ceil(part * float64(len(c.visits)))) }

// listen finds the on-times. A file may hold other runs at quite other levels, so
// that those of this run are told apart by themselves.
func (c *comparison) listen(times []quantity.Instant, level []float64, off idle) {
	first, last := c.visits[0].Record.Start, c.visits[0].Record.End
	for _, v := range c.visits {
		first, last = min(first, v.Record.Start), max(last, v.Record.End)
	}
	from, to := within(times, first, last)
	c.here = onTimes(times[from:to], level[from:to], off)
	c.on = onTimes(times, level, off)
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

// period is a time during which field or power was on at the most: from the last
// reading that was off to the next one.
type period struct{ from, to quantity.Instant }

// onTimes finds the periods in which the level is well above the idle level; none
// where there is no idle time to tell them from.
func onTimes(times []quantity.Instant, level []float64, off idle) []period {
	if len(level) == 0 {
		return nil
	}
	sorted := append([]float64(nil), level...)
	sort.Float64s(sorted)
	high, low := sorted[len(sorted)*19/20], sorted[len(sorted)/idlePercentile]
	threshold := max(off.over*low, off.least*high)
	if !(threshold < high) {
		return nil
	}
	var on []period
	for i := range level {
		if !(level[i] > threshold) {
			continue
		}
		next := times[min(i+1, len(times)-1)]
		if i > 0 && level[i-1] > threshold {
			on[len(on)-1].to = next
			continue
		}
		on = append(on, period{from: times[max(i-1, 0)], to: next})
	}
	return on
}

// fits counts the visits that lie within an on-period when the file is shifted.
func (c *comparison) fits(shift time.Duration) int {
	n := 0
	for _, v := range c.visits {
		if inside(c.on, v, shift) || shift == 0 && (inside(c.here, v, 0) || c.agrees(v)) {
			n++
		}
	}
	return n
}

// inside reports whether a visit lies within one of the periods, all shifted.
func inside(on []period, v *evaluate.Visit, shift time.Duration) bool {
	i := sort.Search(len(on), func(i int) bool { return on[i].to.Add(shift) >= v.Record.End })
	return i < len(on) && on[i].from.Add(shift) <= v.Record.Start
}

// append adds a finding where the clocks seem apart. A file without an edge for
// every other visit, such as one that was only written while power was on, says
// nothing of clocks.
func (c *comparison) append(findings []Finding, run *evaluate.Run) []Finding {
	now := c.fits(0)
	if len(c.on) < len(c.visits)/2 || now >= c.enough(clockFits) || c.entry.ClockOffset != 0 && now > c.fits(-c.entry.ClockOffset) {
		return findings
	}
	shift, spread, agree := bestShift(c.visits, c.on)
	if agree < c.enough(clockBetter) || shift.Abs()-spread < clockLeast {
		return findings
	}
	declared := shift + c.entry.ClockOffset
	f := runFinding(run)
	f.Evidence = []Evidence{{File: c.entry.File, Sheet: c.entry.Sheet}}
	f.Text = wording.Say("clock", wording.Values{"file": c.entry.File, "what": c.what, "now": now, "visits": len(c.visits),
		"offset": declared, "seconds": declared.Seconds(), "spread": spread, "agree": agree})
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
			from, to := v.Record.End.Sub(p.to), v.Record.Start.Sub(p.from)
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
