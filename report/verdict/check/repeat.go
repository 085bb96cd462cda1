package check

import (
	"sort"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
)

// repeatsOf lists what to repeat in one cell, ascending.
func (j *judge) repeatsOf(cell *Cell) []Repeat {
	var list []Repeat
	add := func(f, setting quantity.Frequency, why string, hole bool) {
		list = append(list, Repeat{Polarization: cell.Polarization, Position: cell.Position, Frequency: f, Setting: setting, Why: why, Hole: hole})
	}
	for k := range cell.Steps {
		if step := &cell.Steps[k]; step.State == NotMet || step.State == NotShown {
			add(step.Frequency, step.Frequency, j.why(step), false)
		}
	}
	for k := range cell.Holes {
		hole := &cell.Holes[k]
		if hole.Accepted {
			continue
		}
		grid := gridBeside(cell, &hole.Hole)
		frequencies := j.filling(cell, &hole.Hole, grid)
		for i, setting := range j.settings(&hole.Hole, frequencies, grid) {
			add(frequencies[i], setting, hole.Check, true)
		}
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].Frequency < list[b].Frequency })
	return list
}

// filling returns the frequencies that fill a hole.
func (j *judge) filling(cell *Cell, hole *evaluate.Hole, grid requirement.Grid) []quantity.Frequency {
	if hole.IsListed() {
		return []quantity.Frequency{hole.From}
	}
	if hole.Before == nil && hole.After == nil {
		return j.whole(cell, hole)
	}
	between := j.Requirement.Continue(hole.From, hole.To, grid)
	switch {
	case hole.Before == nil:
		return append([]quantity.Frequency{hole.From}, between...)
	case hole.After == nil:
		return append(between, hole.To)
	default:
		return between
	}
}

// whole returns everything that is asked for in a hole without a step beside it: a
// swept part, or the whole of a cell with its listed frequencies.
func (j *judge) whole(cell *Cell, hole *evaluate.Hole) []quantity.Frequency {
	var list []quantity.Frequency
	for _, part := range cell.Swept {
		if part.From >= hole.From && part.To <= hole.To {
			list = append(list, j.Requirement.Sequence(part.From, part.To)...)
		}
	}
	if hole.Check == "coverage" {
		return list // a listed frequency is a hole of its own
	}
	return requirement.Merged(list, cell.Listed)
}

// settings returns what a generator is set to for the frequencies that fill a hole. An
// end of the range is set as it is written.
func (j *judge) settings(hole *evaluate.Hole, frequencies []quantity.Frequency, grid requirement.Grid) []quantity.Frequency {
	if hole.IsListed() || len(frequencies) == 0 {
		return frequencies
	}
	before, between, after := hole.From, frequencies, hole.To
	var settings []quantity.Frequency
	if hole.Before == nil {
		settings, between = append(settings, frequencies[0]), frequencies[1:]
	}
	if n := len(between); hole.After == nil && n > 0 {
		between = between[:n-1]
	}
	settings = append(settings, j.Requirement.Settings(before, between, after, grid)...)
	return append(settings, frequencies[len(settings):]...)
}

// gridBeside is how the steps beside a hole lie: the distance of the nearest two on one
// side of it.
func gridBeside(cell *Cell, hole *evaluate.Hole) requirement.Grid {
	grid := requirement.Grid{Unit: cell.Resolution}
	steps := cell.Cell.Steps
	for k := range steps {
		switch step := &steps[k]; {
		case step == hole.Before && k > 0:
			grid.Anchor, grid.Distance = step.Frequency, step.Frequency-steps[k-1].Frequency
			return grid
		case step == hole.After && k+1 < len(steps):
			grid.Anchor, grid.Distance = step.Frequency, steps[k+1].Frequency-step.Frequency
		}
	}
	return grid
}

// why is the first open check of a step, in the order of the suite.
func (j *judge) why(step *Step) string {
	first := ""
	for _, v := range step.Visits {
		for _, n := range j.byVisit[refOf(v.Visit)] {
			f := &j.findings[n]
			if f.State == Open && j.weight[f.Check].Decides() && (first == "" || j.rank[f.Check] < j.rank[first]) {
				first = f.Check
			}
		}
	}
	return first
}
