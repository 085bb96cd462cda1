package check

import (
	"fieldheld/report/verdict/evaluate"
)

// State is how much of the proof is there. The zero value is NotShown, so that
// what nobody evaluated is never a pass.
type State int

// The states of a visit, step, cell or day.
const (
	NotShown          State = iota // evidence is missing
	NotMet                         // the evidence shows a failure
	Met                            // shown
	MetWithDeviations              // shown, but for findings that were accepted
	NotRequired                    // nothing is required there; visits only
)

// String writes the state as results and report write it.
func (s State) String() string {
	switch s {
	case NotMet:
		return "not met"
	case Met:
		return "met"
	case MetWithDeviations:
		return "met with deviations"
	case NotRequired:
		return "not required"
	default:
		return "not shown"
	}
}

// Visit is an evaluated visit and its state.
type Visit struct {
	*evaluate.Visit
	State State
}

// Step is all visits of a cell at one frequency, and their state together.
type Step struct {
	evaluate.Step
	State  State
	Visits []*Visit
	Best   *Visit // the visit that gives the step its state
}

// Hole is a part of a required range without evidence.
type Hole struct {
	evaluate.Hole
	Accepted bool // a deviation covers it
}

// Cell is an evaluated cell and its state.
type Cell struct {
	evaluate.Cell
	State    State
	Steps    []Step
	StepsMet int
	Holes    []Hole
}

// Run is an evaluated run with the states of its visits.
type Run struct {
	evaluate.Run
	Visits []*Visit
}

// unjudged lays the evaluated day out for states that are still to be found.
func unjudged(day *evaluate.Day) (runs []Run, cells []Cell) {
	runs = make([]Run, len(day.Runs))
	for i := range day.Runs {
		runs[i].Run = day.Runs[i]
		for _, v := range day.Runs[i].Visits {
			visit := &Visit{Visit: v}
			if !v.IsRequired() {
				visit.State = NotRequired
			}
			runs[i].Visits = append(runs[i].Visits, visit)
		}
	}
	cells = make([]Cell, len(day.Cells))
	for i := range day.Cells {
		cell := &cells[i]
		cell.Cell = day.Cells[i]
		for k := range cell.Cell.Steps {
			step := Step{Step: cell.Cell.Steps[k]}
			for _, v := range step.Step.Visits {
				step.Visits = append(step.Visits, runs[v.Run].Visits[v.Index])
			}
			cell.Steps = append(cell.Steps, step)
		}
		for k := range cell.Cell.Holes {
			cell.Holes = append(cell.Holes, Hole{Hole: cell.Cell.Holes[k]})
		}
	}
	return runs, cells
}
