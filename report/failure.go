package report

import "fieldheld/ingest/quantity"

// Failure is a step of a cell that is not met, or met with deviations alone, by the
// visit that gives it its state; or a visit that failed at a step which another one
// meets.
type Failure struct {
	Step   *Step
	Visit  *Visit
	Level  quantity.FieldStrength // that tells it: the sustained field, or the maximum where it is too high
	Margin quantity.Decibel       // of the sustained field over the acceptance level
}

// Overcome reports whether another visit meets the step.
func (f *Failure) Overcome() bool { return f.Step.State == Met }

// ByAnotherCheck reports whether the level is no reason of the failure.
func (f *Failure) ByAnotherCheck() bool { return f.Margin >= 0 }

// Failures returns the failures of a cell, in the order of its steps. What is not
// shown is none: nobody knows whether it failed.
func (r *Report) Failures(c *Cell) []Failure {
	var list []Failure
	add := func(step *Step, v *Visit, level quantity.FieldStrength) {
		list = append(list, Failure{step, v, level, r.VisitOverAcceptance(v)})
	}
	for i := range c.Steps {
		step := &c.Steps[i]
		switch step.State {
		case NotMet, MetWithDeviations:
			add(step, step.Best, shownLevel(step.Best))
		case Met:
			for _, v := range step.Visits {
				if v != step.Best && v.State == NotMet {
					level := v.Sustained
					if !quantity.Defined(level) {
						level = v.Minimum
					}
					add(step, v, level)
				}
			}
		}
	}
	return list
}

// StepNotShown is a step of which evidence is missing, and the level that there is.
type StepNotShown struct {
	Frequency quantity.Frequency
	Level     quantity.FieldStrength // NaN where there is none
}

// StepsNotShown returns the steps of a cell that are not shown.
func (c *Cell) StepsNotShown() []StepNotShown {
	var list []StepNotShown
	for i := range c.Steps {
		if step := &c.Steps[i]; step.State == NotShown {
			list = append(list, StepNotShown{step.Frequency, shownLevel(step.Best)})
		}
	}
	return list
}

// shownLevel is the level of a visit that its state rests on: the sustained field, or
// the maximum where that is above the upper tolerance.
func shownLevel(v *Visit) quantity.FieldStrength {
	switch {
	case v == nil:
		return quantity.Undefined[quantity.FieldStrength]()
	case v.Maximum > v.Highest:
		return v.Maximum
	}
	return v.Sustained
}
