package report

import (
	"slices"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// RepeatedStep is a step that failed and was repeated: cause, action and result.
type RepeatedStep struct {
	Cell    *Cell
	Step    *Step
	Failed  []FailedVisit           // apart from the visit that gives the step its state
	Changes []jobsheet.TuningChange // made by hand at its frequency, in the tuning of one of its runs
	// Incidents are those of its runs between the end of the first failure and the visit
	// that gives the step its state: what was done before it was repeated.
	Incidents []Incident
}

// FailedVisit is a visit that did not meet its step, and the checks that found
// something at it which no deviation covers.
type FailedVisit struct {
	Visit  *Visit
	Checks []string
}

// RepeatedSteps returns the steps that failed and were repeated, in the order of the
// cells, and counts those that were only visited more than once, as at the edge of a
// band or in the search for a threshold: these are no repeats of a failure.
func (r *Report) RepeatedSteps() (repeated []RepeatedStep, again int) {
	for i := range r.Cells {
		c := &r.Cells[i]
		for k := range c.Steps {
			step := &c.Steps[k]
			if len(step.Visits) < 2 {
				continue
			}
			failed := r.failedVisits(step)
			if len(failed) == 0 {
				again++
				continue
			}
			repeated = append(repeated, RepeatedStep{c, step, failed, r.changesFor(step, failed), r.incidentsFor(step, failed)})
		}
	}
	return repeated, again
}

func (r *Report) failedVisits(step *Step) []FailedVisit {
	var failed []FailedVisit
	for _, v := range step.Visits {
		if v != step.Best && v.State != Met {
			failed = append(failed, FailedVisit{v, r.checksAt(v)})
		}
	}
	return failed
}

// checksAt names the checks that found something at a visit, in the order of the
// findings. What a deviation covers is left out.
func (r *Report) checksAt(v *Visit) []string {
	var checks []string
	ref := VisitRef{Run: v.Run + 1, Visit: v.Index + 1}
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Visit == ref && f.Deviation == 0 {
			checks = append(checks, f.Check)
		}
	}
	return checks
}

// changesFor returns what the job sheet records as changed by hand at the frequency of
// a step, in the tuning of one of the runs that visited it.
func (r *Report) changesFor(step *Step, failed []FailedVisit) []jobsheet.TuningChange {
	tunings := []string{r.Runs[step.Best.Run].Sheet.Tuning}
	for _, f := range failed {
		tunings = append(tunings, r.Runs[f.Visit.Run].Sheet.Tuning)
	}
	near := step.Best.Resolution + quantity.Slack*step.Frequency
	var made []jobsheet.TuningChange
	for _, tuning := range r.Sheet.Tunings {
		if tuning.Name == "" || !slices.Contains(tunings, tuning.Name) {
			continue
		}
		for _, change := range tuning.Changes {
			if change.Frequency.Within(step.Frequency-near, step.Frequency+near) {
				made = append(made, change)
			}
		}
	}
	return made
}

// incidentsFor returns the incidents that the job sheet gives to one of the runs of a
// failed step, from the end of its first failure until its best visit began.
func (r *Report) incidentsFor(step *Step, failed []FailedVisit) []Incident {
	runs := []string{r.Runs[step.Best.Run].ID}
	from := failed[0].Visit.Record.End
	for _, f := range failed {
		runs = append(runs, r.Runs[f.Visit.Run].ID)
		from = min(from, f.Visit.Record.End)
	}
	var list []Incident
	for _, incident := range r.Incidents {
		at := quantity.InstantOf(incident.At)
		if slices.Contains(runs, incident.Run) && at >= from && at <= step.Best.Record.Start {
			list = append(list, incident)
		}
	}
	return list
}
