package plan

import (
	"math"
	"slices"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/requirement"
)

// cells makes a cell for each polarization, position and required range, in the
// order in which the evaluation makes them.
func (b *builder) cells() {
	for _, part := range b.Requirement.Cells() {
		b.plan.Cells = append(b.plan.Cells, b.cell(part))
	}
}

func (b *builder) cell(part requirement.CellRange) Cell {
	c := Cell{Polarization: part.Polarization, From: part.From, To: part.To, Position: part.Position, Positions: part.Positions}
	c.Centre, c.Spacing = Place(b.Sheet.Article.Width, part.Position, part.Positions)
	frequencies := Frequencies(b.Requirement, part.Range())
	forecast := b.forecastFor(&c)
	for _, f := range frequencies {
		c.Steps = append(c.Steps, b.step(&c, f, forecast))
	}
	c.Time = time.Duration(len(c.Steps)) * b.plan.StepTime
	c.sum()
	return c
}

// Place returns where the centre of an antenna position lies, from one edge of a
// test setup boundary of that width, and the distance from position to position:
// the boundary is parted evenly, one antenna at the middle of each part. Undefined
// where the width is not known; one position has no distance to another.
func Place(width quantity.Length, position quantity.Position, positions int) (centre, spacing quantity.Length) {
	spacing = width / quantity.Length(positions)
	centre = spacing * quantity.Length(float64(position)-0.5)
	if positions < 2 {
		spacing = quantity.Undefined[quantity.Length]()
	}
	return centre, spacing
}

// Frequencies returns the steps of a range: of what has to be swept and what is listed.
func Frequencies(r *requirement.Requirement, rg requirement.Range) []quantity.Frequency {
	var list []quantity.Frequency
	for _, part := range r.Swept(rg) {
		list = append(list, sweep(r, part)...)
	}
	return requirement.Merged(list, r.Listed(rg))
}

// sweep returns the steps of a swept part, both ends included: each the largest
// allowed step above the one before, rounded down to a whole hertz, because that
// is what a generator is set to, and no step may become larger than allowed. On
// the border of two step rules the smaller step is taken, which is right for
// whichever of them is thought to own the border.
func sweep(r *requirement.Requirement, part requirement.Part) []quantity.Frequency {
	from, to := part.From, part.To
	var list []quantity.Frequency
	for f := from; !to.AtOrBelow(f); {
		list = append(list, f)
		next := f + min(r.StepWidth(f), r.StepAbove(f))
		if whole := quantity.Frequency(math.Floor(float64(next))); whole > f {
			next = whole
		}
		if !(next > f) {
			break // no step rule: the ends alone
		}
		f = next
	}
	return append(list, to)
}

// sum counts the steps and finds the ones that matter most.
func (c *Cell) sum() {
	for i := range c.Steps {
		s := &c.Steps[i]
		switch s.Reach {
		case Reached:
			c.Count.Reached++
		case Short:
			c.Count.Short++
		case NoRating:
			c.Count.NoRating++
		default:
			c.Count.NoForecast++
		}
		if quantity.Defined(s.Forward) && (c.Greatest == nil || s.Forward > c.Greatest.Forward) {
			c.Greatest = s
		}
		if quantity.Defined(s.Headroom) && (c.Least == nil || s.Headroom < c.Least.Headroom) {
			c.Least = s
		}
	}
}

// LimitSpan returns the lowest and the highest limit of the cell's steps; +Inf and -Inf
// where it has none.
func (c *Cell) LimitSpan() (low, high quantity.FieldStrength) {
	low, high = quantity.FieldStrength(math.Inf(1)), quantity.FieldStrength(math.Inf(-1))
	for i := range c.Steps {
		low, high = min(low, c.Steps[i].Limit), max(high, c.Steps[i].Limit)
	}
	return low, high
}

// OneRating returns the rating that limits every step of the cell with a forecast; nil
// where there is none, or where several do.
func (c *Cell) OneRating() *Rating {
	part := ""
	for i := range c.Steps {
		switch p := c.Steps[i].Part; {
		case p == "":
		case part == "":
			part = p
		case p != part:
			return nil
		}
	}
	for i := range c.Ratings {
		if c.Ratings[i].Part == part {
			return &c.Ratings[i]
		}
	}
	return nil
}

// Unknown counts the steps of which nobody knows whether they can be reached.
func (c Count) Unknown() int { return c.NoForecast + c.NoRating }

// Places returns the cells whose places of the antenna differ: of those with one range
// and position the first, because the polarization moves no antenna.
func (p *Plan) Places() []*Cell {
	var places []*Cell
	for i := range p.Cells {
		c := &p.Cells[i]
		if !slices.ContainsFunc(places, func(other *Cell) bool {
			return other.From == c.From && other.To == c.To && other.Position == c.Position
		}) {
			places = append(places, c)
		}
	}
	return places
}

// Widest returns the first cell with the most antenna positions; nil where the plan has
// no cell.
func (p *Plan) Widest() *Cell {
	var widest *Cell
	for i := range p.Cells {
		if widest == nil || p.Cells[i].Positions > widest.Positions {
			widest = &p.Cells[i]
		}
	}
	return widest
}
