package pdf

import (
	"fmt"
	"math"
	"strings"

	"fieldheld/report/plan"
)

// stepGroup is cells with the same steps, limits and forecast, which need one list
// and one figure only.
type stepGroup struct{ cells []*plan.Cell }

// groupsOf puts the cells of a plan into groups, in their order.
func groupsOf(p *plan.Plan) []stepGroup {
	var groups []stepGroup
next:
	for i := range p.Cells {
		c := &p.Cells[i]
		for k := range groups {
			if sameSteps(groups[k].cells[0], c) {
				groups[k].cells = append(groups[k].cells, c)
				continue next
			}
		}
		groups = append(groups, stepGroup{[]*plan.Cell{c}})
	}
	return groups
}

func sameSteps(a, b *plan.Cell) bool {
	if len(a.Steps) != len(b.Steps) {
		return false
	}
	for i := range a.Steps {
		x, y := &a.Steps[i], &b.Steps[i]
		if x.Frequency != y.Frequency || x.Limit != y.Limit || x.Part != y.Part ||
			!sameFigure(float64(x.Forward), float64(y.Forward)) || !sameFigure(float64(x.Headroom), float64(y.Headroom)) {
			return false
		}
	}
	return true
}

// sameFigure reports whether two figures are equal, or both unknown.
func sameFigure(a, b float64) bool { return a == b || math.IsNaN(a) && math.IsNaN(b) }

// name is how a group is called: "Horizontal, positions 1, 2, and vertical, position 1, 30 – 200 MHz".
func (g stepGroup) name() string {
	c := g.cells[0]
	return capital(g.short()) + ", " + frequencies(c.From, c.To)
}

// short is the name without the range.
func (g stepGroup) short() string {
	var polarizations []string
	positions := map[string][]string{}
	for _, c := range g.cells {
		if positions[c.Polarization] == nil {
			polarizations = append(polarizations, c.Polarization)
		}
		positions[c.Polarization] = append(positions[c.Polarization], fmt.Sprint(c.Position))
	}
	common := positions[polarizations[0]]
	for _, polarization := range polarizations[1:] {
		if strings.Join(positions[polarization], " ") != strings.Join(common, " ") {
			common = nil
		}
	}
	if common != nil {
		return strings.Join(polarizations, " and ") + ", " + positionList(common)
	}
	var parts []string
	for _, polarization := range polarizations {
		parts = append(parts, polarization+", "+positionList(positions[polarization]))
	}
	return strings.Join(parts, ", and ")
}

func positionList(positions []string) string {
	if len(positions) == 1 {
		return "position " + positions[0]
	}
	return "positions " + strings.Join(positions, ", ")
}
