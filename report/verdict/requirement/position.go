package requirement

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// MostPositions is how many antenna positions a requirement can ask for. More
// are a slip of the pen or of a unit, and would make as many cells.
const MostPositions = 64

// Count returns the number of antenna positions for a test setup boundary of
// that width: one up to the spacing, else one for each spacing or part of it.
// It is 0 where the width is not stated: the number is not known.
func (p PositionRule) Count(width quantity.Length) int {
	if !(width > 0) {
		return 0
	}
	if width <= p.Spacing {
		return 1
	}
	most := math.Ceil(float64(width/p.Spacing) - quantity.Slack)
	return int(min(most, math.MaxInt32))
}

// CellRange is the part of a required range that has to be shown at one antenna
// position.
type CellRange struct {
	Polarization quantity.Polarization
	Position     quantity.Position // from 1
	Positions    int               // how many its range has
	From, To     quantity.Frequency
	Known        bool // false where the number of positions is not known for a part of the range
}

// Cells returns everything that has to be shown, in the order in which it is
// listed: by polarization, position and range.
func (r *Requirement) Cells() []CellRange {
	var cells []CellRange
	for _, rg := range r.Ranges() {
		cells = append(cells, r.CellsOf(rg)...)
	}
	slices.SortStableFunc(cells, func(a, b CellRange) int {
		return cmp.Or(cmp.Compare(a.Polarization, b.Polarization), cmp.Compare(a.Position, b.Position))
	})
	return cells
}

// CellsOf returns what of a required range has to be shown at each antenna
// position: all of it at the first; at further ones all of it where the number
// is stated, else what lies below the upper frequency of the position rule.
// Known is false at the first one where the rule does not tell the number for
// a part of the range, because the width of the article is not stated or because
// the range reaches above the rule.
func (r *Requirement) CellsOf(rg Range) []CellRange {
	to, known := rg.To, true
	if rule := r.PositionRule; rule != nil {
		to = min(rg.To, rule.UpTo)
		known = r.Positions > 0 && rg.To.AtOrBelow(rule.UpTo)
	}
	cells := []CellRange{{Polarization: rg.Polarization, Position: 1, From: rg.From, To: rg.To, Known: known}}
	for position := 2; position <= r.Positions && (!to.AtOrBelow(rg.From) || to == rg.To); position++ {
		cells = append(cells, CellRange{Polarization: rg.Polarization, Position: quantity.Position(position), From: rg.From, To: to, Known: true})
	}
	for i := range cells {
		cells[i].Positions = len(cells)
	}
	return cells
}

// UnknownPositions returns the part of a polarization's required ranges for which
// the number of antenna positions is not known, from the lowest frequency of it
// to the highest; unknown is false where there is none.
func (r *Requirement) UnknownPositions(polarization quantity.Polarization) (from, to quantity.Frequency, unknown bool) {
	rule := r.PositionRule
	if rule == nil {
		return 0, 0, false
	}
	for _, rg := range r.Ranges() {
		start := rg.From
		if r.Positions > 0 {
			start = max(start, rule.UpTo)
		}
		if rg.Polarization != polarization || r.Positions > 0 && rg.To.AtOrBelow(start) {
			continue
		}
		if !unknown {
			from = start
		}
		to, unknown = rg.To, true
	}
	return from, to, unknown
}

// positions takes the number from the sheet, else from the requirement, else
// from the width of the article where the requirement rules it so, else one.
func (a *application) positions(width quantity.Length) {
	rule, ruled := a.r.PositionRule, max(a.r.Positions, 1)
	was := strconv.Itoa(ruled)
	if rule != nil {
		ruled = rule.Count(width)
		was = a.describePositions(ruled)
	}
	set := a.sheet.Positions
	switch {
	case set < 0:
		a.refuse("positions", wording.Say("requirement.no-number-of-positions", wording.Values{"found": set}))
	case set > MostPositions:
		a.refuse("positions", tooManyPositions(set, ""))
	case set > 0:
		a.override("positions", was, strconv.Itoa(set), lessWhere(set < ruled && a.positionsRuled()))
		ruled, a.r.PositionRule = set, nil
	case ruled > MostPositions && a.positionsRuled():
		a.refuse("positions", tooManyPositions(ruled, width.String()))
	}
	a.r.Positions = ruled
}

// tooManyPositions is said of a number of positions; width is that of the article
// where the number follows from it, else "".
func tooManyPositions(n int, width string) wording.Text {
	return wording.Say("requirement.too-many-positions", wording.Values{"found": n, "most": MostPositions, "width": width})
}

// positionsRuled reports whether the number of positions that the requirement
// gives counts for any part of the day: a rule only below its upper frequency.
func (a *application) positionsRuled() bool {
	rule := a.r.PositionRule
	if rule == nil {
		return true
	}
	for _, rg := range a.r.Ranges() {
		if !rule.UpTo.AtOrBelow(rg.From) {
			return true
		}
	}
	return false
}

// describePositions says what the position rule asks for in the part of the
// requirement that the day shows; n is 0 where the width is not stated.
func (a *application) describePositions(n int) string {
	rule := a.r.PositionRule
	above := false
	for _, rg := range a.r.Ranges() {
		above = above || !rg.To.AtOrBelow(rule.UpTo)
	}
	switch {
	case !a.positionsRuled():
		return fmt.Sprintf("not ruled above %s", rule.UpTo)
	case n == 0:
		return fmt.Sprintf("one for each %s of width up to %s", rule.Spacing, rule.UpTo)
	case above:
		return fmt.Sprintf("%d up to %s", n, rule.UpTo)
	}
	return strconv.Itoa(n)
}
