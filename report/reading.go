package report

import (
	"slices"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
)

// ModulationFactors returns every factor M by which the readings of a probe were
// multiplied in the run. Probe is its index in the job sheet.
func (run *Run) ModulationFactors(probe int) []evaluate.Factor {
	var factors []evaluate.Factor
	for _, v := range run.Visits {
		for _, p := range v.Probes() {
			if p.Probe != probe {
				continue
			}
			for _, factor := range p.Ledger {
				if factor.Modulation && !slices.ContainsFunc(factors, func(known evaluate.Factor) bool { return sameFactor(known, factor) }) {
					factors = append(factors, factor)
				}
			}
		}
	}
	return factors
}

// sameFactor reports whether two factors are one; both may be undefined.
func sameFactor(a, b evaluate.Factor) bool {
	if !quantity.Defined(a.Value) && !quantity.Defined(b.Value) {
		a.Value, b.Value = 0, 0
	}
	return a == b
}

// Averaged is of how many probes the level of a visit is the mean; 0 where it is what
// one of them shows.
func (r *Report) Averaged(v *Visit) int {
	if len(v.Sources) < 2 || r.Requirement == nil || r.Requirement.Sensors != requirement.MeanOfSensors {
		return 0
	}
	return len(v.Sources)
}

// Cites reports whether the requirement or the test procedure names a document. No
// report speaks of the clauses of one that nobody has called for.
func (r *Report) Cites(document string) bool {
	texts := []string{r.Sheet.Report.Procedure}
	if q := r.Requirement; q != nil {
		texts = append(append(texts, q.Title, q.Source, q.Edition, q.Clause), q.Notes...)
	}
	return slices.ContainsFunc(texts, func(text string) bool { return strings.Contains(text, document) })
}

// UsualObservation is what the dwell record says of most of the run's visits; "" where
// that is nothing. It is said once, so that what differs is seen.
func (run *Run) UsualObservation() string {
	counts := map[string]int{}
	usual := ""
	for _, v := range run.Visits {
		seen := v.Record.Observation
		counts[seen]++
		if n := counts[seen]; n > counts[usual] || n == counts[usual] && seen < usual {
			usual = seen
		}
	}
	return usual
}

// WithHarmonics returns the visits for whose frequency the job sheet states harmonics,
// in the order of the runs.
func (r *Report) WithHarmonics() []*Visit {
	var list []*Visit
	for i := range r.Runs {
		for _, v := range r.Runs[i].Visits {
			if len(v.Harmonics) > 0 {
				list = append(list, v)
			}
		}
	}
	return list
}

// ChainLink is one factor of the chain from a raw reading to the field, and the field
// behind it.
type ChainLink struct {
	evaluate.Factor
	Field quantity.FieldStrength
}

// Chain spells the example out: each factor of its ledger, and what the reading has
// become behind it.
func (e *Example) Chain() []ChainLink {
	chain := make([]ChainLink, len(e.Ledger))
	field := e.Raw
	for i, factor := range e.Ledger {
		field *= quantity.FieldStrength(factor.Value)
		chain[i] = ChainLink{factor, field}
	}
	return chain
}
