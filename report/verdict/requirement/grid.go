package requirement

import (
	"math"
	"slices"

	"fieldheld/ingest/quantity"
)

// Grid is how a run went through the frequencies beside a hole.
type Grid struct {
	Anchor   quantity.Frequency // one that it visited
	Distance quantity.Frequency // from neighbour to neighbour; 0 where it is not known
	Unit     quantity.Frequency // what its frequencies are written to; 0 where that is not known
}

// wholeHertz is what frequencies are rounded to where a run does not say how exactly it
// was set: what every generator takes.
const wholeHertz quantity.Frequency = 1

// finestUnit is the finest unit to which a generator is set.
const finestUnit quantity.Frequency = 0.001

// Continue returns frequencies between a and b, both excluded, that leave no step
// larger than the requirement allows. Where the steps between them are parts of the
// frequency these are those of Fill. Where any is absolute, the grid of the run goes
// on; one that does not keep the steps is left for the largest steps, each rounded
// down to the unit of the grid.
func (r *Requirement) Continue(a, b quantity.Frequency, grid Grid) []quantity.Frequency {
	switch {
	case !r.absolute(a, b):
		return r.Fill(a, b)
	case grid.Distance > 0:
		if list := grid.between(a, b); r.keeps(a, list, b) {
			return list
		}
	}
	return r.climb(a, b, grid.Unit)
}

// absolute reports whether any step between a and b is given in hertz.
func (r *Requirement) absolute(a, b quantity.Frequency) bool {
	return slices.ContainsFunc(r.Steps, func(s StepRule) bool { return s.Size > 0 && s.From < b && a < s.To })
}

// between returns the frequencies of the grid between a and b, both excluded.
func (g Grid) between(a, b quantity.Frequency) []quantity.Frequency {
	const most = 1e6 // more are a grid of nothing
	first := math.Floor(float64((a-g.Anchor)/g.Distance)) + 1
	var list []quantity.Frequency
	for k := first; len(list) < most; k++ {
		f := rounded(g.Anchor+quantity.Frequency(k)*g.Distance, finestUnit)
		if b.AtOrBelow(f) {
			return list
		}
		if !f.AtOrBelow(a) {
			list = append(list, f)
		}
	}
	return nil
}

// climb goes from a to b, both excluded, by the largest steps, each rounded down to
// the coarsest unit that still leads upwards. On the border of two rules the smaller
// step is taken, which is right for whichever of them is thought to own the border.
func (r *Requirement) climb(a, b, unit quantity.Frequency) []quantity.Frequency {
	var list []quantity.Frequency
	for f := a; ; {
		next := min(r.Reach(f), f+r.StepAbove(f))
		if !(next > f) || b.AtOrBelow(next) {
			return list
		}
		f = roundedDown(f, next, unit)
		list = append(list, f)
	}
}

// beyondBorder is how far above a frequency the step rule is looked at as well, as
// a part of the frequency: more than the slack of borders, less than any step.
const beyondBorder = 1e-6

// StepAbove is the largest step from f by the rule that counts just above it; on the
// border of two rules StepWidth may be that of the one below.
func (r *Requirement) StepAbove(f quantity.Frequency) quantity.Frequency {
	rule, known := r.stepRule(f * (1 + beyondBorder))
	if !known {
		return quantity.Undefined[quantity.Frequency]()
	}
	return width(rule, f)
}

// roundedDown rounds a frequency down to the unit, or to a tenth, a hundredth … of it
// where that would not lie well above the one before.
func roundedDown(before, f, unit quantity.Frequency) quantity.Frequency {
	if !(unit > 0) {
		unit = wholeHertz
	}
	for ; unit >= finestUnit; unit /= 10 {
		whole := rounded(quantity.Frequency(math.Floor(float64(f/unit)+quantity.Slack))*unit, finestUnit)
		if whole-before > (f-before)/2 {
			return min(whole, f)
		}
	}
	return f
}

// rounded rounds to the nearest multiple of a unit.
func rounded(f, unit quantity.Frequency) quantity.Frequency {
	if unit >= 1 {
		return quantity.Frequency(math.Round(float64(f/unit))) * unit
	}
	parts := math.Round(float64(1 / unit)) // a division by a whole number gives the decimal that is nearest
	return quantity.Frequency(math.Round(float64(f)*parts) / parts)
}

// keeps reports whether frequencies from a to b leave no step larger than allowed; an
// a or b of 0 is not looked at.
func (r *Requirement) keeps(a quantity.Frequency, list []quantity.Frequency, b quantity.Frequency) bool {
	before := a
	for _, f := range append(slices.Clone(list), b) {
		if before > 0 && f > 0 && !f.AtOrBelow(r.Reach(before)) {
			return false
		}
		before = f
	}
	return true
}

// Settings returns what a generator is set to for frequencies that follow one another
// between a and b, which may be 0 for none: each rounded to the unit of the grid, or
// as much finer as leaves no step larger than allowed, and to no frequency twice.
func (r *Requirement) Settings(a quantity.Frequency, list []quantity.Frequency, b quantity.Frequency, grid Grid) []quantity.Frequency {
	unit := grid.Unit
	if !(unit > 0) {
		unit = wholeHertz
	}
	for ; unit >= finestUnit*(1-quantity.Slack); unit /= 10 {
		if settings := r.rounding(a, list, unit); settings != nil && r.keeps(a, settings, b) && (b == 0 || len(settings) == 0 || settings[len(settings)-1] < b) {
			return settings
		}
	}
	return list
}

// rounding rounds each frequency to the unit, down where rounding up would make the
// step to it too large; nil where two become one.
func (r *Requirement) rounding(before quantity.Frequency, list []quantity.Frequency, unit quantity.Frequency) []quantity.Frequency {
	settings := make([]quantity.Frequency, 0, len(list))
	for _, f := range list {
		setting := rounded(rounded(f, unit), finestUnit)
		if before > 0 && setting > r.Reach(before) {
			setting = rounded(quantity.Frequency(math.Floor(float64(r.Reach(before)/unit)))*unit, finestUnit)
		}
		if setting <= before {
			return nil
		}
		settings, before = append(settings, setting), setting
	}
	return settings
}
