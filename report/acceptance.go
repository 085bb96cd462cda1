package report

import (
	"fmt"
	"math"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/uncertainty"
)

// AskedMargin is the margin over the lowest acceptable level that the decision rule
// asks for: the guard band, 0 dB for simple acceptance.
// Where the uncertainty differs by frequency or probe, it is the largest one.
func (r *Report) AskedMargin() quantity.Decibel { return r.Requirement.Rule.Margin(r.Budget) }

// AskedOf is the margin that the decision rule asks of a visit.
func (r *Report) AskedOf(v *Visit) quantity.Decibel {
	if len(r.Budgets) == 0 {
		return r.AskedMargin()
	}
	return r.Requirement.Rule.Margin(v.Budget)
}

// AskedLeast is the margin that the decision rule asks for where the margin of a cell is
// least.
func (r *Report) AskedLeast(c *Cell) quantity.Decibel {
	if len(r.Budgets) == 0 {
		return r.AskedMargin()
	}
	return c.Statistics.Asked
}

// BudgetAt is the largest budget at a frequency, of whatever probe; nil where no
// uncertainty is stated there.
func (r *Report) BudgetAt(f quantity.Frequency) *uncertainty.Budget {
	if len(r.Budgets) == 0 {
		return r.Budget
	}
	var found *uncertainty.Budget
	for i := range r.Budgets {
		if piece := &r.Budgets[i]; f.Within(piece.From, piece.To) && (found == nil || piece.Budget.Expanded > found.Expanded) {
			found = piece.Budget
		}
	}
	return found
}

// VisitOverAcceptance is the margin of a visit over its acceptance level.
func (r *Report) VisitOverAcceptance(v *Visit) quantity.Decibel { return v.Margin - r.AskedOf(v) }

// OverAcceptance turns a margin over the lowest acceptable level into one over the
// acceptance level, which has the guard band in it.
func (r *Report) OverAcceptance(margin quantity.Decibel) quantity.Decibel {
	return margin - r.AskedMargin()
}

// MetMargins returns the least and the greatest margin over the acceptance level of
// all steps that are met, in every cell; NaN where there is none.
func (r *Report) MetMargins() (least, greatest quantity.Decibel) {
	least, greatest = quantity.Undefined[quantity.Decibel](), quantity.Undefined[quantity.Decibel]()
	for i := range r.Cells {
		for k := range r.Cells[i].Steps {
			step := &r.Cells[i].Steps[k]
			if step.State != Met || step.Best == nil {
				continue
			}
			if margin := r.VisitOverAcceptance(step.Best); !math.IsInf(float64(margin), 0) {
				least, greatest = quantity.Lower(least, margin), quantity.Higher(greatest, margin)
			}
		}
	}
	return least, greatest
}

// ThresholdMargin is how far the threshold of an event lies over the acceptance level;
// NaN where it cannot be compared with the limit.
func (r *Report) ThresholdMargin(e *Event) quantity.Decibel {
	if comparison := e.Comparison(); comparison != BelowLimit && comparison != NotBelowLimit {
		return quantity.Undefined[quantity.Decibel]()
	}
	return e.Threshold.Over(e.Limit.Plus(r.Requirement.ToleranceLow)) - r.Requirement.Rule.Margin(r.BudgetAt(e.Frequency))
}

// RiskAtAcceptance is how probable it is, exactly at the border of acceptance, that
// the field was below the lowest acceptable level all the same; NaN where no
// uncertainty is stated.
func (r *Report) RiskAtAcceptance() float64 {
	if r.Budget == nil || !(r.Budget.Standard > 0) {
		return float64(quantity.Undefined[quantity.Ratio]())
	}
	risk := 1 - r.Budget.ConformanceProbability(r.AskedMargin())
	for i := range r.Budgets { // of different coverage factors
		b := r.Budgets[i].Budget
		risk = max(risk, 1-b.ConformanceProbability(r.Requirement.Rule.Margin(b)))
	}
	return risk
}

// LeastMargin is the least margin of the cell. It is undefined where a step held no
// level: the margin of the other steps is not that of the cell.
func (c *Cell) LeastMargin() Extreme {
	if c.Statistics.NoLevel > 0 {
		return noExtreme()
	}
	return c.Statistics.LeastMargin
}

// Proof is how much of the proof of the whole day is there.
func (r *Report) Proof() State {
	switch r.State {
	case Demonstrated:
		return Met
	case DemonstratedWithDeviations:
		return MetWithDeviations
	}
	if len(cellsIn(r, NotMet)) > 0 {
		return NotMet
	}
	return NotShown
}

// ChangedRequirement names in a sentence what the job sheet changes of the
// requirement; "" where it changes nothing.
func (r *Report) ChangedRequirement() string {
	overrides := r.Requirement.Overrides
	if len(overrides) == 0 {
		return ""
	}
	parts := make([]string, len(overrides))
	for i, o := range overrides {
		parts[i] = fmt.Sprintf("%s %s instead of %s", o.Name(), o.Is, o.Was)
		if o.Relaxation {
			parts[i] += " (asks for less than the requirement)"
		}
	}
	return "Set by the job sheet: " + strings.Join(parts, "; ") + ". Reasons stand in section 4."
}
