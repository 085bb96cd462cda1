package evaluate

import (
	"cmp"
	"slices"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/requirement"
)

// findHoles notes every part of the range without evidence, and the first step
// at which frequencies are written too coarsely to show what is asked for.
func (e *evaluator) findHoles(c *Cell, evaluated *Day) {
	if len(c.Steps) == 0 && !c.passedBy(evaluated) {
		c.Holes = []Hole{{From: c.From, To: c.To, Check: missing(c, evaluated)}}
		return
	}
	for i := range c.Steps {
		if !c.Resolution.AtOrBelow(e.discernible(c, c.Steps[i].Frequency)) {
			c.Coarse = &c.Steps[i]
			break
		}
	}
	for _, part := range c.Swept {
		e.sweep(c, part)
	}
	if len(c.Listed) > 0 {
		c.tick()
		slices.SortStableFunc(c.Holes, func(a, b Hole) int { return cmp.Compare(a.From, b.From) })
	}
}

// sweep notes the holes of a part in which neighbours have to keep a step.
//
// A written frequency stands for every true frequency within q/2 of it. A part
// is covered only if true frequencies exist that keep every step; what is followed
// from step to step is the highest of them.
func (e *evaluator) sweep(c *Cell, part requirement.Part) {
	q := c.Resolution
	steps := c.stepsIn(part)
	n := len(steps)
	if n == 0 {
		c.Holes = append(c.Holes, Hole{From: part.From, To: part.To, Check: "coverage"})
		return
	}
	first := steps[0]
	highest := min(first.Frequency+q/2, part.From)
	if !(first.Frequency - q/2).AtOrBelow(part.From) {
		c.Holes = append(c.Holes, Hole{From: part.From, To: first.Frequency, Check: "coverage", After: first})
		highest = first.Frequency + q/2
	}
	for i := 0; i+1 < n; i++ {
		a, b := steps[i], steps[i+1]
		farthest := e.requirement.Reach(highest)
		if highest = b.Frequency + q/2; b.Frequency-q/2 > farthest+quantity.Slack*b.Frequency {
			c.Holes = append(c.Holes, Hole{From: a.Frequency, To: b.Frequency, Check: "step-size", Before: a, After: b})
		} else {
			highest = min(highest, farthest)
		}
	}
	last := steps[n-1]
	if highest < part.To-quantity.Slack*last.Frequency {
		from := last.Frequency
		if part.To.AtOrBelow(from) {
			from = highest
		}
		c.Holes = append(c.Holes, Hole{From: from, To: part.To, Check: "coverage", Before: last})
	}
}

// stepsIn returns the steps that lie in a part of the cell's range widened by q.
func (c *Cell) stepsIn(part requirement.Part) []*Step {
	var steps []*Step
	for i := range c.Steps {
		if c.Steps[i].Frequency.Within(part.From-c.Resolution, part.To+c.Resolution) {
			steps = append(steps, &c.Steps[i])
		}
	}
	return steps
}

// tick notes a hole for every listed frequency that no step stands for. A step stands
// for one of them only: where two lie within q/2 of one written frequency, one visit
// does not show both.
func (c *Cell) tick() {
	taken := map[*Step]bool{}
	for _, listed := range c.Listed {
		hole := Hole{From: listed, To: listed, Check: "coverage"}
		shown := false
		for i := range c.Steps {
			step := &c.Steps[i]
			switch {
			case !taken[step] && slices.ContainsFunc(step.Visits, func(v *Visit) bool { return stands(v.Frequency(), listed, c.Resolution) }):
				taken[step], shown = true, true
			case step.Frequency < listed:
				hole.Before = step
			case hole.After == nil:
				hole.After = step
			}
			if shown {
				break
			}
		}
		if !shown {
			c.Holes = append(c.Holes, hole)
		}
	}
}

// listedPart is how finely, as a part of itself, a listed frequency has to be written
// where no other is listed near it. A record that writes 27 MHz does not show 27.12 MHz.
const listedPart = 0.01

// discernible is how finely the frequencies of a cell have to be written at f: the step
// that is allowed there, and the distance of a listed frequency to the next one.
func (e *evaluator) discernible(c *Cell, f quantity.Frequency) quantity.Frequency {
	finest := f * listedPart
	if c.sweeps(f, c.Resolution) {
		finest = e.requirement.StepWidth(f)
	}
	for i, listed := range c.Listed {
		if !stands(f, listed, c.Resolution) {
			continue
		}
		if finest = min(finest, listed*listedPart); i > 0 {
			finest = min(finest, listed-c.Listed[i-1])
		}
		if i+1 < len(c.Listed) {
			finest = min(finest, c.Listed[i+1]-listed)
		}
	}
	return finest
}
