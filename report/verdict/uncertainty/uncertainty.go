// Package uncertainty combines the contributions of a budget into the standard
// and the expanded uncertainty of the corrected field, and applies the decision
// rule (JCGM 100:2008 clauses 5, 6 and annex G; JCGM 106:2012 clause 8).
package uncertainty

import (
	"math"

	"fieldheld/ingest/quantity"
)

// Contribution is one line of a budget.
type Contribution struct {
	Name             string
	Value            quantity.Decibel
	Distribution     string
	Divisor          quantity.Ratio
	Sensitivity      quantity.Ratio
	DegreesOfFreedom float64          // +Inf where they are many
	Standard         quantity.Decibel // value / divisor × sensitivity

	From, To quantity.Frequency // range in which it holds; 0 where open
	Probe    string             // asset of the probe that it holds for; "" for every one
}

// standard is the standard uncertainty of a contribution.
func (c Contribution) standard() quantity.Decibel {
	return quantity.Decibel(math.Abs(float64(c.Value) / float64(c.Divisor) * float64(c.Sensitivity)))
}

// Budget is the uncertainty of the corrected field in decibels.
type Budget struct {
	Contributions    []Contribution
	Standard         quantity.Decibel // u, root of the sum of squares
	CoverageFactor   quantity.Ratio   // k
	Expanded         quantity.Decibel // U = k·u
	DegreesOfFreedom float64          // effective, Welch–Satterthwaite; +Inf where they are many
}

// Combine adds the contributions as a root of the sum of squares. Standard of
// each contribution is computed here.
func Combine(contributions []Contribution, k quantity.Ratio) Budget {
	b := Budget{Contributions: append([]Contribution(nil), contributions...), CoverageFactor: k}
	var squares, welch float64
	for i := range b.Contributions {
		c := &b.Contributions[i]
		u := float64(c.Value) / float64(c.Divisor) * float64(c.Sensitivity)
		c.Standard = quantity.Decibel(math.Abs(u))
		squares += u * u
		welch += u * u * u * u / c.DegreesOfFreedom
	}
	b.Standard = quantity.Decibel(math.Sqrt(squares))
	b.Expanded = quantity.Decibel(float64(k)) * b.Standard
	b.DegreesOfFreedom = math.Inf(1)
	if welch > 0 {
		b.DegreesOfFreedom = squares * squares / welch
	}
	return b
}

// Rule is a decision rule for a lower limit.
type Rule struct {
	Guarded bool
	Guard   quantity.Ratio // guard band as a part of U; 0 for simple acceptance
}

// Margin returns the least margin that the rule asks for, in decibels: none for
// simple acceptance, guard × U for guarded acceptance. A guarded rule without an
// uncertainty, or with one of 0 dB, asks for an undefined margin, which nothing
// reaches.
func (r Rule) Margin(b *Budget) quantity.Decibel {
	switch {
	case !r.Guarded:
		return 0
	case b == nil || !(b.Expanded > 0):
		return quantity.Undefined[quantity.Decibel]()
	}
	return quantity.Decibel(r.Guard) * b.Expanded
}

// Accepts reports whether a margin over the lowest acceptable level is enough.
// An undefined margin is never enough.
func (r Rule) Accepts(margin quantity.Decibel, b *Budget) bool {
	return margin >= r.Margin(b)-quantity.LevelSlack
}

// ConformanceProbability is Φ(margin/u), for a one-sided lower limit
// (JCGM 106:2012 8.3). It is undefined (NaN) without an uncertainty.
func (b Budget) ConformanceProbability(margin quantity.Decibel) float64 {
	if !(b.Standard > 0) {
		return math.NaN()
	}
	return 0.5 * math.Erfc(-float64(margin/b.Standard)/math.Sqrt2)
}
