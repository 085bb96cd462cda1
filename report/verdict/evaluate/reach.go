package evaluate

import "fieldheld/ingest/quantity"

// findHoles notes every part of the range without evidence, and the first step
// at which frequencies are written too coarsely to show the step size.
//
// A written frequency stands for every true frequency within q/2 of it. A range
// is covered only if true frequencies exist that keep every step; what is followed
// from step to step is the highest of them.
func (e *evaluator) findHoles(c *Cell, evaluated *Day) {
	n, q := len(c.Steps), c.Resolution
	if n == 0 {
		c.Holes = []Hole{{From: c.From, To: c.To, Check: missing(c, evaluated)}}
		return
	}
	for i := range c.Steps {
		if f := c.Steps[i].Frequency; !q.AtOrBelow(quantity.Frequency(e.requirement.Step(f)) * f) {
			c.Coarse = &c.Steps[i]
			break
		}
	}
	first := &c.Steps[0]
	highest := min(first.Frequency+q/2, c.From)
	if !(first.Frequency - q/2).AtOrBelow(c.From) {
		c.Holes = append(c.Holes, Hole{From: c.From, To: first.Frequency, Check: "coverage", After: first})
		highest = first.Frequency + q/2
	}
	for i := 0; i+1 < n; i++ {
		a, b := &c.Steps[i], &c.Steps[i+1]
		farthest := highest * (1 + quantity.Frequency(e.requirement.Step(highest)))
		if highest = b.Frequency + q/2; b.Frequency-q/2 > farthest+quantity.Slack*b.Frequency {
			c.Holes = append(c.Holes, Hole{From: a.Frequency, To: b.Frequency, Check: "step-size", Before: a, After: b})
		} else {
			highest = min(highest, farthest)
		}
	}
	last := &c.Steps[n-1]
	if highest < c.To-quantity.Slack*last.Frequency {
		from := last.Frequency
		if c.To.AtOrBelow(from) {
			from = highest
		}
		c.Holes = append(c.Holes, Hole{From: from, To: c.To, Check: "coverage", Before: last})
	}
}
