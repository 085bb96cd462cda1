package report

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

// made is a visit of a run at a frequency with a state and a sustained field.
func made(run int, f quantity.Frequency, state State, sustained quantity.FieldStrength) *Visit {
	v := &Visit{State: state, Visit: &evaluate.Visit{Run: run, Sustained: sustained, Lowest: 100, Margin: sustained.Over(100), Maximum: sustained,
		Minimum: quantity.Undefined[quantity.FieldStrength](), Highest: quantity.Undefined[quantity.FieldStrength]()}}
	v.Record.Frequency = f
	return v
}

// stepOf is a step whose state is that of its best visit, the last one.
func stepOf(visits ...*Visit) Step {
	best := visits[len(visits)-1]
	return Step{Step: evaluate.Step{Frequency: best.Frequency()}, State: best.State, Visits: visits, Best: best}
}

// served is a report of two runs and one cell of theirs with these steps.
func served(steps ...Step) (*Report, *Cell) {
	r := &Report{Requirement: &Requirement{Steps: []requirement.StepRule{{From: 30e6, To: 200e6, Max: 0.01}}}, Sheet: &Sheet{}}
	for _, id := range []string{"H1", "H2", "V1"} {
		r.Runs = append(r.Runs, Run{Run: check.Run{Run: evaluate.Run{ID: id}}, Sheet: &jobsheet.Run{ID: id, ForwardMax: quantity.Undefined[quantity.Power]()}})
	}
	r.Cells = []Cell{{Cell: check.Cell{Cell: evaluate.Cell{From: 30e6, To: 200e6, Resolution: 1e3, Runs: []int{1, 0}}, Steps: steps}}}
	return r, &r.Cells[0]
}

func TestCurvesTakeTheBestVisitOfEachRun(t *testing.T) {
	none := quantity.Undefined[quantity.FieldStrength]()
	failed, met := made(0, 30e6, NotMet, 90), made(1, 30e6, Met, 110)
	weak, strong, unheld := made(0, 30.3e6, NotMet, 80), made(0, 30.3e6, NotMet, 95), made(0, 30.3e6, NotMet, none)
	hidden, seen := made(0, 30.6e6, NotShown, 120), made(0, 30.6e6, NotMet, 70)
	foreign := made(2, 30.9e6, NotMet, 99)
	r, c := served(stepOf(failed, met), stepOf(unheld, strong, weak), stepOf(seen, hidden), stepOf(foreign))
	curves := r.Curves(c)
	assert.Equal(t, []Curve{
		{"H2", [][]*Visit{{met}}}, // of a step that is met, the visit that meets it alone
		{"H1", [][]*Visit{{strong, seen}}},
	}, curves, "in the order in which the runs serve the cell")
}

func TestCurvesEndWhereNothingWasMeasured(t *testing.T) {
	at := func(f quantity.Frequency) Step { return stepOf(made(0, f, Met, 110)) }
	lengths := func(steps []Step, holes ...Hole) []int {
		r, c := served(steps...)
		c.Holes = holes
		var list []int
		for _, piece := range r.Curves(c)[1].Pieces {
			list = append(list, len(piece))
		}
		return list
	}
	hole := func(from, to quantity.Frequency) Hole { return Hole{Hole: evaluate.Hole{From: from, To: to}} }
	// With steps of 1 % a run may leave out one and the line goes on, up to 2.5 %.
	for _, test := range []struct {
		name  string
		steps []Step
		holes []Hole
		want  []int
	}{
		{"close", []Step{at(100e6), at(101e6), at(102e6)}, nil, []int{3}},
		{"in any order", []Step{at(102e6), at(100e6), at(101e6)}, nil, []int{3}},
		{"one left out", []Step{at(100e6), at(102.4e6)}, nil, []int{2}},
		{"more than that", []Step{at(100e6), at(102.6e6), at(103e6)}, nil, []int{1, 2}},
		{"a hole", []Step{at(100e6), at(102e6), at(103e6)}, []Hole{hole(100e6, 102e6)}, []int{1, 2}},
		{"a hole elsewhere", []Step{at(100e6), at(102e6)}, []Hole{hole(101e6, 103e6)}, []int{2}},
		{"nothing", nil, nil, nil},
	} {
		assert.Equal(t, test.want, lengths(test.steps, test.holes...), test.name)
	}
}

func TestTheLowestRatingOfTheRunsCounts(t *testing.T) {
	r, c := served()
	assert.False(t, quantity.Defined(r.LeastRating(c)))
	r.Runs[0].Sheet.ForwardMax = 2500
	assert.Equal(t, quantity.Power(2500), r.LeastRating(c))
	r.Runs[1].Sheet.ForwardMax = 1000
	r.Runs[2].Sheet.ForwardMax = 10 // serves another cell
	assert.Equal(t, quantity.Power(1000), r.LeastRating(c))
}

func TestFailures(t *testing.T) {
	none := quantity.Undefined[quantity.FieldStrength]()
	first, again := made(0, 30e6, NotMet, none), made(0, 30e6, Met, 110)
	first.Minimum = 80
	unshown := made(0, 30e6, NotShown, 50)
	low := made(0, 31e6, NotMet, 95)
	high := made(0, 32e6, NotMet, 120)
	high.Highest, high.Maximum = 150, 170
	accepted := made(0, 33e6, NotMet, 97)
	part := stepOf(accepted)
	part.State = MetWithDeviations
	missing := made(0, 34e6, NotShown, none)
	r, c := served(stepOf(unshown, first, again), stepOf(made(0, 31e6, NotMet, 90), low), stepOf(high), part, stepOf(missing))
	first.Margin = -3
	list := r.Failures(c)
	assert.Equal(t, []Failure{
		{&c.Steps[0], first, 80, -3},          // nothing was held: what there was
		{&c.Steps[1], low, 95, low.Margin},    // of a step that is not met, its best visit alone
		{&c.Steps[2], high, 170, high.Margin}, // too high
		{&c.Steps[3], accepted, 97, accepted.Margin},
	}, list)
	assert.True(t, list[0].Overcome())
	assert.False(t, list[1].Overcome())
	assert.False(t, list[3].Overcome(), "a deviation overcomes nothing")
	assert.False(t, list[1].ByAnotherCheck())
	assert.True(t, list[2].ByAnotherCheck())

	r.Budget = &uncertainty.Budget{Standard: 1, Expanded: 2}
	r.Requirement.Rule = uncertainty.Rule{Guarded: true, Guard: 1}
	guarded := r.Failures(c)
	assert.InDelta(t, float64(high.Margin)-2, float64(guarded[2].Margin), 1e-9)
	assert.False(t, guarded[2].ByAnotherCheck(), "within the guard band")

	shown := c.StepsNotShown()
	assert.Len(t, shown, 1)
	assert.Equal(t, quantity.Frequency(34e6), shown[0].Frequency)
	assert.False(t, quantity.Defined(shown[0].Level))
}
