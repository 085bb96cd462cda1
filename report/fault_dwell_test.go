package report_test

import (
	"slices"
	"time"

	"fieldheld/templates/demoday"
)

// dwellFaults are fields that were not followed for long enough.
func dwellFaults() []fault {
	const limit = time.Millisecond // a dwell counts when it is this much too short at most
	return []fault{
		{name: "dwell broken by a gap in the log", plant: (*planter).brokenDwell},
		{name: "dwell ends early", plant: func(p *planter) ([]expectation, bool) {
			return p.shortDwell(limit + time.Duration(p.between(0.02, 0.5)*float64(p.shape.Required())).Round(time.Millisecond))
		}, beside: []string{"power"}},
		{name: "dwell 1 ms too short", plant: func(p *planter) ([]expectation, bool) { return p.shortDwell(limit + time.Millisecond) }},
		{name: "dwell just long enough", plant: func(p *planter) ([]expectation, bool) { return p.shortDwell(limit) }},
		{name: "gap 1 ms over the longest", plant: func(p *planter) ([]expectation, bool) { return p.gapOf(time.Millisecond) }},
		{name: "gap just the longest", plant: func(p *planter) ([]expectation, bool) { return p.gapOf(0) }},
	}
}

// brokenDwell takes readings out of the middle of a visit.
func (p *planter) brokenDwell() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	log := t.run.Probes[p.IntN(len(t.run.Probes))].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	for wide := 1; wide < (to-from)/2-1; wide++ {
		middle := (from + to) / 2
		cut := slices.Clone(log.Samples[:middle-wide])
		cut = append(cut, log.Samples[middle+wide:]...)
		trial := &demoday.ProbeLog{File: log.File, Samples: cut}
		gap := p.gap(trial)
		distance := log.Samples[middle+wide].At.Sub(log.Samples[middle-wide-1].At)
		if distance > gap+5*time.Millisecond && p.stretches(trial, t.visit)[0] < p.shape.Required()-10*time.Millisecond {
			log.Samples = cut
			return []expectation{p.at("dwell", t, log)}, true
		}
	}
	return nil, false
}

// shortDwell ends a visit too early by a time.
func (p *planter) shortDwell(missing time.Duration) ([]expectation, bool) {
	end := func(t target) time.Duration { return p.shape.Settle + p.shape.Required() - missing }
	t, ok := p.pick(p.alone(), func(t target) bool {
		v := *t.visit
		v.End = v.Start.Add(end(t))
		for i := range t.run.Probes { // the whole window must be followed
			if s := p.stretches(t.run.Probes[i].Log, &v); len(s) != 1 || s[0] != p.shape.Required()-missing {
				return false
			}
		}
		return len(t.run.Probes) == 1
	})
	if !ok {
		return nil, false
	}
	t.visit.End = t.visit.Start.Add(end(t))
	if missing <= time.Millisecond {
		return nil, true
	}
	return []expectation{p.at("dwell", t, t.run.Probes[0].Log)}, true
}

// gapOf makes a gap in the middle of a visit that is over the longest by a time.
func (p *planter) gapOf(over time.Duration) ([]expectation, bool) {
	if p.shape.MaxGap == 0 {
		return nil, false
	}
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	log := t.run.Probes[p.IntN(len(t.run.Probes))].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	i := (from+to)/2 - 1
	at := log.Samples[i].At.Add(p.shape.MaxGap + over)
	j := i + 1
	for j < to && log.Samples[j].At < at {
		j++
	}
	if j+1 >= to || log.Samples[j].At.Sub(at) > p.shape.MaxGap || j == i+1 {
		return nil, false
	}
	moved := log.Samples[j-1]
	moved.At = at
	cut := append(slices.Clone(log.Samples[:i+1]), moved)
	cut = append(cut, log.Samples[j:]...)
	trial := &demoday.ProbeLog{File: log.File, Samples: cut}
	if longest := p.stretches(trial, t.visit)[0]; (over > 0) != (longest < p.shape.Required()-5*time.Millisecond) {
		return nil, false
	}
	log.Samples = cut
	if over <= 0 {
		return nil, true
	}
	return []expectation{p.at("dwell", t, log)}, true
}
