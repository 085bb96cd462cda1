package requirement

import (
	"math"

	"fieldheld/ingest/quantity"
)

// Count returns the number of antenna positions for a test setup boundary of
// that width: one up to the spacing, else one for each spacing or part of it.
func (p PositionRule) Count(width quantity.Length) int {
	if !(width > p.Spacing) {
		return 1
	}
	return int(math.Ceil(float64(width/p.Spacing) - quantity.Slack))
}

// counts reports whether the rule counts for the range.
func (p PositionRule) counts(rg Range) bool { return !p.UpTo.AtOrBelow(rg.From) }

// PositionsFor returns the number of antenna positions at which a required range
// has to be shown, at least one. A number that the requirement or the job sheet
// states counts for every range; one that follows from the width of the article
// only for ranges that begin below the frequency of the position rule.
func (r *Requirement) PositionsFor(rg Range) int {
	if r.PositionRule != nil && !r.PositionRule.counts(rg) {
		return 1
	}
	return max(r.Positions, 1)
}
