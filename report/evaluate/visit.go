package evaluate

import (
	"errors"
	"math"
	"runtime"
	"sync"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/report/requirement"
	"fieldheld/report/uncertainty"
)

// evaluator holds what every visit of a day is judged by.
type evaluator struct {
	requirement *requirement.Requirement
	budget      *uncertainty.Budget
}

// Evaluate computes the figures of every visit of a day and sorts the visits
// into steps and cells. States are left at NotShown: the findings decide them.
//
// The budget may be nil. The error says which input the figures cannot be
// computed from.
func Evaluate(day *ingest.Day, r *requirement.Requirement, budget *uncertainty.Budget) (*Day, error) {
	e := &evaluator{requirement: r, budget: budget}
	evaluated := &Day{Budget: budget}
	for i := range day.Runs {
		evaluated.Runs = append(evaluated.Runs, e.plainRun(i, &day.Runs[i]))
	}
	evaluated.Cells = e.cells(day, evaluated)
	if err := e.runs(day, evaluated); err != nil {
		return nil, err
	}
	return evaluated, nil
}

// runs computes the figures of the runs, as many at a time as there are processors.
func (e *evaluator) runs(day *ingest.Day, evaluated *Day) error {
	errs := make([]error, len(day.Runs))
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	var group sync.WaitGroup
	for i := range day.Runs {
		slots <- struct{}{}
		group.Go(func() {
			defer func() { <-slots }()
			errs[i] = e.run(&day.Runs[i], &evaluated.Runs[i])
		})
	}
	group.Wait()
	return errors.Join(errs...)
}

// plainRun lists the visits of a run without limits and figures.
func (e *evaluator) plainRun(index int, run *ingest.Run) Run {
	plain := Run{ID: run.Sheet.ID, Polarization: run.Sheet.Polarization, Position: run.Sheet.Position}
	for i, row := range run.Visits {
		undefined := quantity.Undefined[quantity.FieldStrength]()
		plain.Visits = append(plain.Visits, &Visit{Run: index, Index: i, Record: row, DwellFile: run.Dwell.File.Path,
			Modulation: ModulationOf(run, i, e.requirement), State: NotRequired, Required: e.requirement.Required(),
			Limit: undefined, Lowest: undefined, Highest: undefined})
	}
	return plain
}

// ModulationOf returns the modulation of a run's visit: the dwell record's, else
// the run's, else the requirement's.
func ModulationOf(run *ingest.Run, i int, r *requirement.Requirement) quantity.Modulation {
	switch {
	case run.Visits[i].Modulation != nil:
		return *run.Visits[i].Modulation
	case run.Sheet.Modulation != nil:
		return *run.Sheet.Modulation
	default:
		return r.Modulation
	}
}

// setLimit gives a visit the limit of the cell that it belongs to.
func (e *evaluator) setLimit(v *Visit, limit quantity.FieldStrength) {
	v.State = NotShown
	v.Limit = limit
	v.Lowest = limit.Plus(e.requirement.ToleranceLow)
	v.Highest = limit.Plus(e.requirement.ToleranceHigh)
}

func (e *evaluator) run(run *ingest.Run, evaluated *Run) error {
	windows := make([]window, len(evaluated.Visits))
	for i, v := range evaluated.Visits {
		windows[i] = v.window(e.requirement.Settle)
	}
	logs := make([]probeLog, len(run.Probes))
	for i := range run.Probes {
		logs[i] = probeLog{index: i, probe: &run.Probes[i], frozen: frozenBlocks(run.Probes[i].Log, windows)}
	}
	assignHarmonics(run.Sheet.Harmonics, evaluated.Visits)
	figures := make([]ProbeFigures, len(logs)*len(evaluated.Visits)) // of all visits in one piece
	for i, v := range evaluated.Visits {
		v.Probes = figures[i*len(logs) : (i+1)*len(logs) : (i+1)*len(logs)]
		for j := range logs {
			var err error
			if v.Probes[j], err = logs[j].figures(v, windows[i], v.Lowest); err != nil {
				return err
			}
		}
		e.combine(v)
		v.Power = powerOf(run, v, windows[i], run.Dwell.Resolution)
	}
	return nil
}

// combine merges the figures of the probes: the worst of each, or the mean where
// the requirement says so. A figure that one probe lacks is undefined.
func (e *evaluator) combine(v *Visit) {
	lowest, highest := math.Min, math.Max
	if e.requirement.Sensors == "mean" {
		n := float64(len(v.Probes))
		add := func(a, b float64) float64 { return a + b/n }
		lowest, highest = add, add
	}
	merge := func(choose func(a, b float64) float64, figure func(p *ProbeFigures) float64) float64 {
		start := 0.0
		if e.requirement.Sensors != "mean" {
			start = figure(&v.Probes[0])
		}
		for i := range v.Probes {
			start = choose(start, figure(&v.Probes[i]))
		}
		return start
	}
	field := quantity.Undefined[quantity.FieldStrength]()
	v.Sustained, v.Minimum, v.Median, v.Maximum, v.Held = field, field, field, field, math.NaN()
	v.Margin, v.Conformance = quantity.Undefined[quantity.Decibel](), math.NaN()
	if len(v.Probes) == 0 {
		return
	}
	v.Sustained = quantity.FieldStrength(merge(lowest, func(p *ProbeFigures) float64 { return float64(p.Sustained) }))
	v.Minimum = quantity.FieldStrength(merge(lowest, func(p *ProbeFigures) float64 { return float64(p.Minimum) }))
	v.Median = quantity.FieldStrength(merge(lowest, func(p *ProbeFigures) float64 { return float64(p.Median) }))
	v.Maximum = quantity.FieldStrength(merge(highest, func(p *ProbeFigures) float64 { return float64(p.Maximum) }))
	v.Held = merge(lowest, func(p *ProbeFigures) float64 { return p.Held })
	for i := range v.Probes {
		v.Samples += v.Probes[i].Samples
		if v.Probes[i].Sustained < v.Probes[v.Deciding].Sustained {
			v.Deciding = i
		}
	}
	v.Margin = v.Sustained.Over(v.Lowest)
	if e.budget != nil {
		v.Conformance = e.budget.ConformanceProbability(v.Margin)
	}
}
