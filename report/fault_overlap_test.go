package report_test

import (
	"math"
	"slices"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/demoday"
)

// overlapFaults are moments that two visits claim.
func overlapFaults() []fault {
	return []fault{
		{name: "row that ends after the next began", plant: (*planter).momentShared, beside: []string{"power", "linearity", "frequency-agreement"}},
		{name: "row that ends one row late", plant: (*planter).visitShared, beside: []string{"power", "linearity", "frequency-agreement"}},
		{name: "rows that meet", plant: (*planter).nothingShared, beside: []string{"power", "linearity", "frequency-agreement"}},
		{name: "same times under the other polarization", plant: (*planter).timesTwice, drowned: true},
		{name: "frequencies written too coarsely", plant: (*planter).coarse},
		{name: "observation that nobody takes up", plant: (*planter).observed},
		{name: "probe without an asset", plant: (*planter).nameless, beside: []string{"record"}},
	}
}

// followed returns two visits of one run that follow each other in time and each
// are alone in their step. Between them the field may rise above what the first one
// allows, so that days with an upper tolerance do not serve.
func (p *planter) followed() (first, second target, ok bool) {
	alone := p.alone()
	if quantity.Defined(p.shape.ToleranceHigh) {
		return first, second, false
	}
	for range 30 {
		i := p.IntN(len(alone))
		t := alone[i]
		for _, next := range alone {
			if next.run == t.run && next.index == t.index+1 && next.visit.Start >= t.visit.End && next.visit.Start.Sub(t.visit.End) < 5*time.Second {
				return t, next, true
			}
		}
	}
	return first, second, false
}

// lasts reports whether a visit is followed for its dwell from a time on.
func (p *planter) lasts(t target, from quantity.Instant) bool {
	rest := *t.visit
	rest.Start = from.Add(10*time.Millisecond - p.shape.Settle)
	for i := range t.run.Probes {
		log := t.run.Probes[i].Log
		first, behind := log.Window(&rest, p.shape.Settle)
		if behind-first < 4 || p.stretches(log, &rest)[0] < p.shape.Required()+p.gap(log) {
			return false
		}
	}
	return true
}

// shows reports whether a time holds a reading of a visit's probes.
func (p *planter) shows(t target, from, to quantity.Instant) bool {
	for i := range t.run.Probes {
		for _, s := range t.run.Probes[i].Log.Samples {
			if s.At >= from && s.At < to && s.At >= t.visit.Start.Add(p.shape.Settle) {
				return true
			}
		}
	}
	return false
}

// momentShared ends a visit a moment after the next one has begun, which leaves
// enough of both.
func (p *planter) momentShared() ([]expectation, bool) {
	t, next, ok := p.followed()
	if !ok {
		return nil, false
	}
	until := next.visit.Start.Add(100 * time.Millisecond)
	if !p.lasts(next, until) || !p.lasts(t, t.visit.Start.Add(p.shape.Settle)) {
		return nil, false
	}
	t.visit.End = until
	first, second := p.at("overlap", t, nil), p.at("overlap", next, nil)
	first.note, second.note = true, true
	return []expectation{first, second}, true
}

// visitShared ends a visit where the next one ends: the next has no time of its own.
func (p *planter) visitShared() ([]expectation, bool) {
	t, next, ok := p.followed()
	if !ok || !p.lasts(t, t.visit.Start.Add(p.shape.Settle)) || !p.shows(next, next.visit.Start, next.visit.End) {
		return nil, false
	}
	t.visit.End = next.visit.End
	first := p.at("overlap", t, nil)
	first.note = true
	return []expectation{first, p.at("overlap", next, nil)}, true
}

// nothingShared ends a visit where the next one begins.
func (p *planter) nothingShared() ([]expectation, bool) {
	t, next, ok := p.followed()
	if !ok {
		return nil, false
	}
	t.visit.End = next.visit.Start
	return nil, true
}

// timesTwice writes the rows of one polarization under the other as well: each
// moment would prove both.
func (p *planter) timesTwice() ([]expectation, bool) {
	var from, to *demoday.Run
	for _, run := range p.day.Runs {
		switch {
		case run.Sheet.Position != 1:
		case run.Sheet.Polarization == "horizontal" && from == nil:
			from = run
		case run.Sheet.Polarization == "vertical" && to == nil:
			to = run
		}
	}
	if from == nil || to == nil || from.Dwell == to.Dwell || len(from.Probes) != len(to.Probes) {
		return nil, false
	}
	visits, _ := from.Visits()
	to.Dwell.Visits, to.Probes = nil, from.Probes // both runs name the same logs
	for _, v := range visits {
		copied := *v
		copied.Run, copied.Polarization = to.Sheet.ID, to.Sheet.Polarization
		to.Dwell.Visits = append(to.Dwell.Visits, copied)
	}
	var expected []expectation
	for _, t := range p.targets() {
		required := false
		for _, r := range p.shape.Ranges(t.visit.Polarization) {
			required = required || t.visit.Frequency.Within(r.From, r.To)
		}
		if required && (t.run == from || t.run == to) {
			expected = append(expected, p.at("overlap", t, nil))
		}
	}
	return expected, len(expected) > 4
}

// coarse states a resolution that is a little larger than the steps at the lower
// end of a run's ranges.
func (p *planter) coarse() ([]expectation, bool) {
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	for _, other := range p.day.Runs {
		if other != run && (other.Dwell == run.Dwell || other.Sheet.Polarization == run.Sheet.Polarization && other.Sheet.Position == run.Sheet.Position) {
			return nil, false // the resolution would be that of their cells too
		}
	}
	r := p.shape.Ranges(run.Sheet.Polarization)[0]
	q := quantity.Frequency(math.Ceil(float64(p.shape.Step)*float64(r.From)*1.01 + 2e-9*float64(r.From)))
	var all []quantity.Frequency
	for _, t := range p.targets() {
		if t.run == run {
			all = append(all, t.visit.Frequency)
		}
	}
	slices.Sort(all)
	if len(all) < 5 || all[0] > r.From {
		return nil, false
	}
	for i := 1; i < len(all); i++ {
		if all[i] != all[i-1] && all[i]-all[i-1] < q*6/10 {
			return nil, false // they would be one step
		}
	}
	run.Dwell.Entry.FrequencyResolution = q
	var expected []expectation
	for _, part := range p.shape.Ranges(run.Sheet.Polarization) {
		if float64(q) > float64(p.shape.Step)*float64(part.From)*(1+1e-9) {
			expected = append(expected, expectation{check: "coarse", run: run.Sheet.ID, from: part.From, to: part.To, file: run.Dwell.Entry.File})
		}
	}
	return expected, true
}

// observed writes an observation that no event takes up; another one of nothing.
func (p *planter) observed() ([]expectation, bool) {
	t, ok := p.pick(p.targets(), anyTarget)
	if !ok {
		return nil, false
	}
	t.run.Dwell.Observation = true
	t.visit.Observation = "drum stopped, alarm E14"
	for i := range t.run.Dwell.Visits {
		if v := &t.run.Dwell.Visits[i]; v != t.visit {
			v.Observation = []string{"", "OK", "none", "No change.", "-"}[p.IntN(5)]
		}
	}
	row := t.run.Dwell.Row(t.index)
	return []expectation{{check: "observation", asks: true, run: t.run.Sheet.ID, file: t.run.Dwell.Entry.File, rows: [2]int{row, row}}}, true
}

// nameless takes the asset off the probe of a run.
func (p *planter) nameless() ([]expectation, bool) {
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	run.Probes[0].Sheet.Asset = ""
	return []expectation{{check: "equipment", run: run.Sheet.ID, file: "job.toml"}}, true
}
