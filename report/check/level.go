package check

import (
	"fmt"
	"math"

	"fieldheld/ingest/quantity"
	"fieldheld/report/evaluate"
)

// hasFigures reports whether nothing that the figures of a visit need is missing.
func hasFigures(v *evaluate.Visit) bool {
	for i := range v.Probes {
		p := &v.Probes[i]
		if p.Samples == 0 || !quantity.Defined(p.Factor) || faulty(p) {
			return false
		}
	}
	return len(v.Probes) > 0
}

func findLevel(s *Subject) []Finding {
	var findings []Finding
	rule := s.Requirement.Rule
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if !hasFigures(v) || !quantity.Defined(v.Sustained) || rule.Accepts(v.Margin, s.Budget) {
			return
		}
		f := visitFinding(run, v)
		f.Evidence = windowOf(&v.Probes[v.Deciding])
		f.Message = fmt.Sprintf("The sustained field of %s is %s below the lowest acceptable level of %s.",
			fieldBeside(v.Sustained, v.Lowest), levelOff(-v.Margin), v.Lowest)
		if rule.Guarded && v.Margin >= -quantity.LevelSlack {
			f.Message = fmt.Sprintf("The sustained field of %s is %s above the lowest acceptable level of %s; the guarded rule asks for %s.",
				v.Sustained, levelOff(v.Margin), v.Lowest, levelOff(rule.Margin(s.Budget)))
		}
		if quantity.Defined(v.Power.Forward) {
			needed := v.Power.Forward.Plus(rule.Margin(s.Budget) - v.Margin)
			f.Meaning = fmt.Sprintf("Forward power was %s; by the square law it takes %s to pass.", v.Power.Forward, needed)
		}
		findings = append(findings, f)
	})
	return findings
}

// levelOff writes a difference of levels with as many decimals as it needs not
// to read as zero.
func levelOff(d quantity.Decibel) string {
	for decimals := 2; decimals < 9; decimals++ {
		if math.Abs(float64(d)) >= 0.5*math.Pow(10, -float64(decimals)) {
			return fmt.Sprintf("%.*f dB", decimals, float64(d))
		}
	}
	return "0 dB"
}

// fieldBeside writes a field with as many digits as it needs to differ from
// another one that it is compared with.
func fieldBeside(e, other quantity.FieldStrength) string {
	if text := e.String(); text != other.String() {
		return text
	}
	for digits := 5; digits < 12; digits++ {
		if text := fmt.Sprintf("%.*g", digits, float64(e)); text != fmt.Sprintf("%.*g", digits, float64(other)) {
			return text + " V/m"
		}
	}
	return e.String()
}

func findOverlevel(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if !hasFigures(v) || !quantity.Defined(v.Highest) || v.Highest.AtLeast(v.Maximum) {
			return
		}
		highest := 0
		for i := range v.Probes {
			if v.Probes[i].Maximum > v.Probes[highest].Maximum {
				highest = i
			}
		}
		f := visitFinding(run, v)
		f.Evidence = windowOf(&v.Probes[highest])
		f.Message = fmt.Sprintf("The highest field of %s is %s above the upper tolerance of %s.",
			fieldBeside(v.Maximum, v.Highest), levelOff(v.Maximum.Over(v.Highest)), v.Highest)
		f.Meaning = "The article saw more than it was meant to; a reaction here may come from the excess."
		findings = append(findings, f)
	})
	return findings
}

func findDwell(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if !hasFigures(v) || quantity.Defined(v.Sustained) {
			return
		}
		shortest := 0
		for i := range v.Probes {
			if v.Probes[i].ValidStretch < v.Probes[shortest].ValidStretch {
				shortest = i
			}
		}
		f := visitFinding(run, v)
		f.Evidence = windowOf(&v.Probes[shortest])
		f.Message = fmt.Sprintf("The longest continuous stretch of readings is %s; the required dwell is %s.",
			seconds(v.Probes[shortest].ValidStretch), seconds(v.Required.Seconds()))
		findings = append(findings, f)
	})
	return findings
}

// seconds writes a time to the millisecond.
func seconds(s float64) string { return fmt.Sprintf("%.3f s", s) }
