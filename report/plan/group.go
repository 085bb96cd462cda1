package plan

import (
	"fieldheld/ingest/quantity"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Group is cells that take the same: steps, limits, forecast and ratings. One
// list and one figure serve them all.
type Group struct{ Cells []*Cell } // at least one

// Groups puts the cells into groups, in their order.
func (p *Plan) Groups() []Group {
	var groups []Group
	for i := range p.Cells {
		c := &p.Cells[i]
		k := slices.IndexFunc(groups, func(g Group) bool { return g.Cells[0].takesTheSame(c) })
		if k < 0 {
			groups = append(groups, Group{})
			k = len(groups) - 1
		}
		groups[k].Cells = append(groups[k].Cells, c)
	}
	return groups
}

func (c *Cell) takesTheSame(other *Cell) bool {
	sameStep := func(a, b Step) bool {
		return a.Frequency == b.Frequency && a.Limit == b.Limit && a.Part == b.Part && a.Why == b.Why &&
			sameFigure(float64(a.Forward), float64(b.Forward)) && sameFigure(float64(a.Headroom), float64(b.Headroom))
	}
	sameRating := func(a, b Rating) bool { return a.Part == b.Part && a.Power == b.Power }
	return slices.EqualFunc(c.Steps, other.Steps, sameStep) && slices.EqualFunc(c.Ratings, other.Ratings, sameRating)
}

// sameFigure reports whether two figures are equal, or both unknown.
func sameFigure(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }

// Name is what the group is called: "horizontal and vertical, positions 1, 2".
func (g Group) Name() string {
	var polarizations []quantity.Polarization
	positions := map[quantity.Polarization][]string{}
	for _, c := range g.Cells {
		if positions[c.Polarization] == nil {
			polarizations = append(polarizations, c.Polarization)
		}
		positions[c.Polarization] = append(positions[c.Polarization], fmt.Sprint(c.Position))
	}
	var parts []string
	common := positions[polarizations[0]]
	for _, polarization := range polarizations {
		if !slices.Equal(positions[polarization], common) {
			common = nil
		}
		parts = append(parts, string(polarization)+", "+positionList(positions[polarization]))
	}
	if common != nil {
		return quantity.Join(polarizations, " and ") + ", " + positionList(common)
	}
	return strings.Join(parts, ", and ")
}

func positionList(positions []string) string {
	if len(positions) == 1 {
		return "position " + positions[0]
	}
	return "positions " + strings.Join(positions, ", ")
}
