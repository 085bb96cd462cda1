package check

import (
	"slices"
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
		for _, f := range j.filling(cell, &hole.Hole) {
			add(f.frequency, f.setting, hole.Check, true)
		}
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].Frequency < list[b].Frequency })
	return list
}

// proposal is a frequency that fills a hole, and what a generator is set to for it.
type proposal struct{ frequency, setting quantity.Frequency }

// filling returns what fills a hole.
func (j *judge) filling(cell *Cell, hole *evaluate.Hole) []proposal {
	grid := gridBeside(cell, hole)
	switch {
	case hole.IsListed():
		return []proposal{{hole.From, hole.From}}
	case hole.Before == nil && hole.After == nil:
		return j.whole(cell, hole, grid)
	}
	list := j.Requirement.Continue(hole.From, hole.To, grid)
	filling := proposals(list, j.Requirement.Settings(hole.From, list, hole.To, grid))
	switch {
	case hole.Before == nil: // an end of the range is set as it is written
		return append([]proposal{{hole.From, hole.From}}, filling...)
	case hole.After == nil:
		return append(filling, proposal{hole.To, hole.To})
	}
	return filling
}

// whole returns everything that is asked for in a hole without a step beside it: a
// swept part, or a whole cell with its listed frequencies.
func (j *judge) whole(cell *Cell, hole *evaluate.Hole, grid requirement.Grid) []proposal {
	var filling []proposal
	for _, part := range cell.Swept {
		if part.From < hole.From || part.To > hole.To {
			continue
		}
		list := j.Requirement.Sequence(part.From, part.To)
		settings := list
		if n := len(list); n > 1 {
			settings = append([]quantity.Frequency{part.From}, j.Requirement.Settings(part.From, list[1:n-1], part.To, grid)...)
			settings = append(settings, part.To)
		}
		filling = append(filling, proposals(list, settings)...)
	}
	if hole.Check == "coverage" {
		return filling // a listed frequency is a hole of its own
	}
	for _, f := range cell.Listed {
		if !slices.ContainsFunc(filling, func(p proposal) bool { return p.frequency.Within(f, f) }) {
			filling = append(filling, proposal{f, f})
		}
	}
	return filling
}

func proposals(list, settings []quantity.Frequency) []proposal {
	filling := make([]proposal, len(list))
	for i := range list {
		filling[i] = proposal{list[i], settings[i]}
	}
	return filling
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
