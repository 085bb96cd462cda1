package report

import (
	"cmp"
	"slices"

	"fieldheld/ingest/quantity"
)

// Curve is what one run shows over the steps of a cell: one visit of each step,
// ascending, in pieces. Between two pieces lies a hole of the cell, or the run itself
// left out more than a step or two: of what was not measured it says nothing.
type Curve struct {
	Run    string
	Pieces [][]*Visit
}

// Curves returns a curve of each run that serves a cell. Of each step it takes the
// best visit of each run, by state and then by sustained field; of a step that is met
// the visit that meets it alone.
func (r *Report) Curves(c *Cell) []Curve {
	place := map[int]int{}
	curves, visits := make([]Curve, len(c.Runs)), make([][]*Visit, len(c.Runs))
	for k, index := range c.Runs {
		curves[k].Run = r.Runs[index].ID
		place[index] = k
	}
	for i := range c.Steps {
		for index, v := range bestOfRuns(&c.Steps[i]) {
			if k, serves := place[index]; serves {
				visits[k] = append(visits[k], v)
			}
		}
	}
	for k := range curves {
		slices.SortStableFunc(visits[k], func(a, b *Visit) int { return cmp.Compare(a.Frequency(), b.Frequency()) })
		curves[k].Pieces = r.pieces(c, visits[k])
	}
	return curves
}

// bestOfRuns returns the visit of a step that each run shows, by the index of the run.
func bestOfRuns(step *Step) map[int]*Visit {
	shown := step.Visits
	if step.State == Met && step.Best != nil {
		shown = []*Visit{step.Best}
	}
	best := map[int]*Visit{}
	for _, v := range shown {
		if now := best[v.Run]; now == nil || showsMore(v, now) {
			best[v.Run] = v
		}
	}
	return best
}

// showsMore reports whether a visit shows more than another one.
func showsMore(a, other *Visit) bool {
	if a.State != other.State {
		return a.State == Met || other.State == NotShown && a.State != NotShown
	}
	return a.Sustained > other.Sustained || !quantity.Defined(other.Sustained)
}

// pieces parts the visits of a run, ascending, where something between them was not
// measured.
func (r *Report) pieces(c *Cell, visits []*Visit) [][]*Visit {
	const steps = 2.5
	var pieces [][]*Visit
	for i, v := range visits {
		f := v.Frequency()
		if i > 0 {
			before := visits[i-1].Frequency()
			if !(f > before*quantity.Frequency(1+steps*r.Requirement.Step(before))) && !c.holeBetween(before, f) {
				pieces[len(pieces)-1] = append(pieces[len(pieces)-1], v)
				continue
			}
		}
		pieces = append(pieces, []*Visit{v})
	}
	return pieces
}

// holeBetween reports whether a hole of the cell lies between two frequencies.
func (c *Cell) holeBetween(from, to quantity.Frequency) bool {
	for _, h := range c.Holes {
		if from.AtOrBelow(h.From) && h.To.AtOrBelow(to) {
			return true
		}
	}
	return false
}

// LeastRating is the lowest rating of forward power of the runs of a cell; NaN where
// none is given.
func (r *Report) LeastRating(c *Cell) quantity.Power {
	least := quantity.Undefined[quantity.Power]()
	for _, index := range c.Runs {
		least = quantity.Lower(least, r.Runs[index].Sheet.ForwardMax)
	}
	return least
}
