package check

import (
	"sort"

	"fieldheld/ingest/quantity"
)

// repeatsOf lists what to repeat in one cell, ascending.
func (j *judge) repeatsOf(cell *Cell) []Repeat {
	var list []Repeat
	add := func(f quantity.Frequency, why string, hole bool) {
		list = append(list, Repeat{Polarization: cell.Polarization, Position: cell.Position, Frequency: f, Why: why, Hole: hole})
	}
	for k := range cell.Steps {
		if step := &cell.Steps[k]; step.State == NotMet || step.State == NotShown {
			add(step.Frequency, j.why(step), false)
		}
	}
	for k := range cell.Holes {
		hole := &cell.Holes[k]
		if hole.Accepted {
			continue
		}
		for _, f := range j.filling(cell, hole) {
			add(f, hole.Check, true)
		}
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].Frequency < list[b].Frequency })
	return list
}

// filling returns the frequencies that fill a hole.
func (j *judge) filling(cell *Cell, hole *Hole) []quantity.Frequency {
	if len(cell.Steps) == 0 {
		return j.Requirement.Sequence(cell.From, cell.To)
	}
	between := j.Requirement.Fill(hole.From, hole.To)
	switch {
	case hole.Before == nil:
		return append([]quantity.Frequency{hole.From}, between...)
	case hole.After == nil:
		return append(between, hole.To)
	default:
		return between
	}
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
