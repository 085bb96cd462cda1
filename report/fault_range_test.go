package report_test

import (
	"math"
	"slices"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/demoday"
)

// rangeFaults are parts of the required range that nobody showed.
func rangeFaults() []fault {
	return []fault{
		{name: "step left out", plant: (*planter).missingStep},
		{name: "step one resolution too wide", plant: func(p *planter) ([]expectation, bool) { return p.wideStep(1) }},
		{name: "step just wide enough", plant: func(p *planter) ([]expectation, bool) { return p.wideStep(0) }},
		{name: "range begins late", plant: (*planter).lateBegin},
		{name: "range ends early", plant: (*planter).earlyEnd},
		{name: "range begins one resolution late", plant: func(p *planter) ([]expectation, bool) { return p.shiftedBegin(1) }},
		{name: "range begins just in time", plant: func(p *planter) ([]expectation, bool) { return p.shiftedBegin(0) }},
		{name: "polarization not run", plant: (*planter).missingPolarization},
		{name: "position not run", plant: (*planter).missingPosition},
	}
}

// steps returns the visits of a cell in ascending order of frequency, nil unless
// each step has one visit.
func (p *planter) steps(polarization quantity.Polarization, position quantity.Position, r demoday.Range) []target {
	var list []target
	for _, t := range p.targets() {
		if t.visit.Polarization == polarization && t.visit.Position == position && t.visit.Frequency.Within(r.From, r.To) {
			list = append(list, t)
		}
	}
	slices.SortFunc(list, func(a, b target) int { return int(math.Copysign(1, float64(a.visit.Frequency-b.visit.Frequency))) })
	for i := 1; i < len(list); i++ {
		if list[i].visit.Frequency == list[i-1].visit.Frequency {
			return nil
		}
	}
	return list
}

// cell chooses a cell by chance and returns its range and its steps, at least
// five of them.
func (p *planter) cell() (demoday.Range, []target, bool) {
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	ranges := p.shape.Ranges(run.Sheet.Polarization)
	r := ranges[p.IntN(len(ranges))]
	steps := p.steps(run.Sheet.Polarization, run.Sheet.Position, r)
	return r, steps, len(steps) >= 5
}

// hole is the finding of a hole between two steps of one dwell record.
func (p *planter) hole(check string, before, after *target, from, to quantity.Frequency) expectation {
	one := before
	if one == nil {
		one = after
	}
	e := expectation{check: check, from: from, to: to, file: one.run.Dwell.Entry.File,
		run: p.serving(one.visit.Polarization, one.visit.Position, p.rangeOf(one.visit.Polarization, one.visit.Frequency))}
	switch {
	case before != nil && after != nil && before.run.Dwell == after.run.Dwell:
		e.rows = [2]int{before.run.Dwell.Row(before.index), after.run.Dwell.Row(after.index)}
	case before != nil:
		e.rows = [2]int{before.run.Dwell.Row(before.index), before.run.Dwell.Row(before.index)}
	default:
		e.rows = [2]int{after.run.Dwell.Row(after.index), after.run.Dwell.Row(after.index)}
	}
	return e
}

// missingStep leaves a step out.
func (p *planter) missingStep() ([]expectation, bool) {
	r, steps, ok := p.cell()
	if !ok {
		return nil, false
	}
	i := 1 + p.IntN(len(steps)-2)
	before, after := steps[i-1], steps[i+1]
	if !p.tooWide(p.reached(steps, r)[i-1], after, after.visit.Frequency) {
		return nil, false // close to the end of a range a step may be narrow
	}
	p.removeAll(steps[i : i+1])
	before, after = p.again(before), p.again(after)
	return []expectation{p.hole("step-size", &before, &after, before.visit.Frequency, after.visit.Frequency)}, true
}

// removeAll takes visits out of their dwell records; the logs still show their field.
func (p *planter) removeAll(list []target) {
	for _, t := range list {
		start := t.start
		t.run.Dwell.Visits = slices.DeleteFunc(t.run.Dwell.Visits, func(v demoday.Visit) bool { return v.Start == start })
	}
}

// again finds a target after others were removed, by its start, which no other
// visit shares.
func (p *planter) again(t target) target {
	t.index = slices.IndexFunc(t.run.Dwell.Visits, func(v demoday.Visit) bool { return v.Start == t.start })
	t.visit = &t.run.Dwell.Visits[t.index]
	return t
}

// resolution is the resolution of frequencies in a cell: the largest of its records.
func (p *planter) resolution(polarization quantity.Polarization, place quantity.Position) quantity.Frequency {
	q := quantity.Frequency(0)
	for _, run := range p.day.Runs {
		if run.Sheet.Polarization == polarization && run.Sheet.Position == place {
			q = max(q, run.Dwell.Resolution())
		}
	}
	return q
}

// reached returns, for each step of a cell, the highest true frequency that it may
// stand for when every step before it keeps its size: a written frequency stands
// for all that lie within half a resolution of it.
func (p *planter) reached(steps []target, r demoday.Range) []quantity.Frequency {
	half := p.resolution(steps[0].visit.Polarization, steps[0].visit.Position) / 2
	var list []quantity.Frequency
	for i, t := range steps {
		f := t.visit.Frequency
		reach := r.From
		if i > 0 {
			reach = list[i-1] * (1 + quantity.Frequency(p.shape.Step))
		}
		if f-half > reach*(1+1e-9) {
			reach = f + half // a hole lies before it
		}
		list = append(list, min(f+half, reach))
	}
	return list
}

// tooWide reports whether the step from one whose highest true frequency is known
// to a written frequency is a hole.
func (p *planter) tooWide(reached quantity.Frequency, to target, f quantity.Frequency) bool {
	half := p.resolution(to.visit.Polarization, to.visit.Position) / 2
	return f-half > reached*(1+quantity.Frequency(p.shape.Step))+1e-9*f
}

// wideStep moves a step up to the widest place that is allowed, and so many
// written steps further.
func (p *planter) wideStep(further int) ([]expectation, bool) {
	r, steps, ok := p.cell()
	if !ok {
		return nil, false
	}
	i := 1 + p.IntN(len(steps)-3)
	reached := p.reached(steps, r)[i-1]
	before, moved, after := steps[i-1], steps[i], steps[i+1]
	unit := moved.run.Dwell.WrittenStep()
	f := before.visit.Frequency
	if float64(unit) < 1e-8*float64(f) {
		return nil, false // finer than the slack of frequencies
	}
	half := p.resolution(moved.visit.Polarization, moved.visit.Position) / 2
	widest := math.Floor(float64((reached*(1+quantity.Frequency(p.shape.Step)+0.5e-9) + half) / unit))
	to := quantity.Frequency(widest+float64(further)) * unit
	if to >= after.visit.Frequency-10*unit || to <= f || p.tooWide(reached, moved, to) != (further > 0) || p.shape.At(to, moved.visit.Polarization) != p.shape.At(moved.visit.Frequency, moved.visit.Polarization) {
		return nil, false
	}
	p.move(moved, to)
	if further == 0 {
		return nil, true
	}
	return []expectation{p.hole("step-size", &before, &moved, f, to)}, true
}

// move gives a visit another frequency, and its power rows with it.
func (p *planter) move(t target, to quantity.Frequency) {
	if t.run.Power != nil {
		for i := range t.run.Power.Rows {
			if r := &t.run.Power.Rows[i]; r.Frequency == t.visit.Frequency {
				r.Frequency = to
			}
		}
	}
	t.visit.Frequency = to
}

// lateBegin leaves out the first steps of a range.
func (p *planter) lateBegin() ([]expectation, bool) {
	r, steps, ok := p.cell()
	if !ok {
		return nil, false
	}
	n := 1 + p.IntN(2)
	p.removeAll(steps[:n])
	first := p.again(steps[n])
	return []expectation{p.hole("coverage", nil, &first, r.From, first.visit.Frequency)}, true
}

// earlyEnd leaves out the last steps of a range.
func (p *planter) earlyEnd() ([]expectation, bool) {
	r, steps, ok := p.cell()
	if !ok {
		return nil, false
	}
	n := len(steps) - 1 - p.IntN(2)
	if p.reached(steps, r)[n-1] >= r.To*(1-2e-9) {
		return nil, false
	}
	p.removeAll(steps[n:])
	last := p.again(steps[n-1])
	return []expectation{p.hole("coverage", &last, nil, last.visit.Frequency, r.To)}, true
}

// shiftedBegin moves the first step of a range as far up as is allowed, and so
// many written steps further.
func (p *planter) shiftedBegin(further int) ([]expectation, bool) {
	r, steps, ok := p.cell()
	if !ok {
		return nil, false
	}
	first := steps[0]
	unit := first.run.Dwell.WrittenStep()
	half := p.resolution(first.visit.Polarization, first.visit.Position) / 2
	to := (quantity.Frequency(math.Floor(float64((r.From+half)/unit)+1e-6)) + quantity.Frequency(further)) * unit
	if float64(unit) < 1e-8*float64(r.From) || to >= steps[1].visit.Frequency-2*unit {
		return nil, false
	}
	p.move(first, to)
	if further == 0 {
		return nil, true
	}
	return []expectation{p.hole("coverage", nil, &first, r.From, to)}, true
}

// dropRuns takes runs out of the day with what their dwell records say of them.
func (p *planter) dropRuns(drop func(*demoday.Run) bool) {
	kept := p.day.Runs[:0:0]
	for _, run := range p.day.Runs {
		if !drop(run) {
			kept = append(kept, run)
			continue
		}
		run.Dwell.Visits = slices.DeleteFunc(run.Dwell.Visits, func(v demoday.Visit) bool { return v.Run == run.Sheet.ID })
	}
	p.day.Runs = kept
}

// missingPolarization drops every run of one polarization.
func (p *planter) missingPolarization() ([]expectation, bool) {
	lost := quantity.Polarizations()[p.IntN(2)]
	ranges := p.shape.Ranges(lost)
	p.dropRuns(func(run *demoday.Run) bool { return run.Sheet.Polarization == lost })
	if len(ranges) == 0 || len(p.day.Runs) == 0 {
		return nil, false
	}
	var expected []expectation
	for range p.shape.Positions {
		for _, r := range ranges {
			expected = append(expected, expectation{check: "polarization", from: r.From, to: r.To, file: "job.toml"})
		}
	}
	return expected, true
}

// missingPosition drops every run of one polarization at the second position.
func (p *planter) missingPosition() ([]expectation, bool) {
	lost := quantity.Polarizations()[p.IntN(2)]
	ranges := p.shape.Ranges(lost)
	if p.shape.Positions < 2 || len(ranges) == 0 {
		return nil, false
	}
	p.dropRuns(func(run *demoday.Run) bool { return run.Sheet.Polarization == lost && run.Sheet.Position == 2 })
	var expected []expectation
	for _, r := range ranges {
		expected = append(expected, expectation{check: "position", from: r.From, to: r.To, file: "job.toml"})
	}
	return expected, true
}
