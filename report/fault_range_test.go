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
func (p *planter) steps(polarization string, position int, r demoday.Range) []target {
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
	_, steps, ok := p.cell()
	if !ok {
		return nil, false
	}
	i := 1 + p.IntN(len(steps)-2)
	before, after := steps[i-1], steps[i+1]
	if !p.tooWide(before, after.visit.Frequency) {
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
func (p *planter) resolution(polarization string, place int) quantity.Frequency {
	q := quantity.Frequency(0)
	for _, run := range p.day.Runs {
		if run.Sheet.Polarization == polarization && run.Sheet.Position == place {
			q = max(q, run.Dwell.Resolution())
		}
	}
	return q
}

// tooWide reports whether the step from one frequency to another is a hole.
func (p *planter) tooWide(from target, to quantity.Frequency) bool {
	f := from.visit.Frequency
	q := p.resolution(from.visit.Polarization, from.visit.Position)
	return float64(to-f) > float64(p.shape.Step)*float64(f)+float64(q)+1e-9*float64(f)
}

// wideStep moves a step up to the widest place that is allowed, and so many
// written steps further.
func (p *planter) wideStep(further int) ([]expectation, bool) {
	_, steps, ok := p.cell()
	if !ok {
		return nil, false
	}
	i := 1 + p.IntN(len(steps)-3)
	before, moved, after := steps[i-1], steps[i], steps[i+1]
	unit := moved.run.Dwell.WrittenStep()
	f := before.visit.Frequency
	if float64(unit) < 1e-8*float64(f) {
		return nil, false // finer than the slack of frequencies
	}
	widest := math.Floor((float64(f)*(1+float64(p.shape.Step)+0.5e-9) + float64(p.resolution(moved.visit.Polarization, moved.visit.Position))) / float64(unit))
	to := quantity.Frequency(widest+float64(further)) * unit
	if to >= after.visit.Frequency-10*unit || p.tooWide(before, to) != (further > 0) || p.shape.At(to, moved.visit.Polarization) != p.shape.At(moved.visit.Frequency, moved.visit.Polarization) {
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
	if p.resolution(steps[0].visit.Polarization, steps[0].visit.Position) >= r.To-steps[n-1].visit.Frequency {
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
	to := r.From + p.resolution(first.visit.Polarization, first.visit.Position) + quantity.Frequency(further)*unit
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
	lost := []string{"horizontal", "vertical"}[p.IntN(2)]
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
	lost := []string{"horizontal", "vertical"}[p.IntN(2)]
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
