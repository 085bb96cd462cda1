package check

import (
	"fmt"
	"math"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

func findLevel(s *Subject) []Finding {
	var findings []Finding
	rule := s.Requirement.Rule
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		level := v.Level()
		margin := level.Over(v.Lowest)
		if !quantity.Defined(level) || rule.Accepts(margin, s.Budget) {
			return
		}
		f := visitFinding(run, v)
		f.Evidence = levelWindow(v)
		what, longest := "sustained field", ""
		if !quantity.Defined(v.Sustained) {
			what, longest = "field", fmt.Sprintf(" in the longest stretch there is, %s,", seconds(v.ValidStretch))
		}
		f.Message = fmt.Sprintf("The %s of %s%s is %s below the lowest acceptable level of %s.",
			what, fieldBeside(level, v.Lowest), longest, levelOff(-margin), v.Lowest)
		if rule.Guarded && margin >= -quantity.LevelSlack {
			f.Message = fmt.Sprintf("The %s of %s%s is %s above the lowest acceptable level of %s; the guarded rule asks for %s.",
				what, level, longest, levelOff(margin), v.Lowest, levelOff(rule.Margin(s.Budget)))
		}
		if quantity.Defined(v.Power.Forward) && level > 0 {
			needed := v.Power.Forward.Plus(rule.Margin(s.Budget) - margin)
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
		if !quantity.Defined(v.Highest) || !quantity.Defined(v.Known) || v.Highest.AtLeast(v.Known) {
			return
		}
		var highest *evaluate.SourceFigures
		for _, p := range v.Probes() {
			if quantity.Defined(p.Maximum) && (highest == nil || p.Maximum > highest.Maximum) {
				highest = p
			}
		}
		f := visitFinding(run, v)
		f.Evidence = windowOf(highest)
		f.Message = fmt.Sprintf("The highest field of %s is %s above the upper tolerance of %s.",
			fieldBeside(v.Known, v.Highest), levelOff(v.Known.Over(v.Highest)), v.Highest)
		f.Meaning = "The article saw more than it was meant to; a reaction here may come from the excess."
		findings = append(findings, f)
	})
	return findings
}

func findDwell(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if v.Dwell != evaluate.DwellTooShort && v.Dwell != evaluate.DwellTooFew {
			return
		}
		shortest := &v.Sources[0]
		for i := range v.Sources {
			if p := &v.Sources[i]; p.ValidStretch < shortest.ValidStretch {
				shortest = p
			}
		}
		f := visitFinding(run, v)
		f.Evidence = windowOf(shortest)
		f.Message = fmt.Sprintf("The longest continuous stretch of readings is %s; the required dwell is %s.",
			seconds(v.ValidStretch), seconds(quantity.Seconds(v.Required.Seconds())))
		if v.Dwell == evaluate.DwellTooFew {
			f.Cause = "too few"
			f.Message = fmt.Sprintf("A stretch as long as the required dwell of %s has fewer than %d readings of a probe.",
				seconds(quantity.Seconds(v.Required.Seconds())), s.Requirement.MinSamples)
		}
		f.Meaning = s.changeWithin(v)
		findings = append(findings, f)
	})
	return findings
}

// changeWithin says where a probe was in use for a part of a visit only, so that no
// stretch of its readings goes on; "" where none was.
func (s *Subject) changeWithin(v *evaluate.Visit) string {
	sheet := s.Day.Runs[v.Run].Sheet
	for i := range v.Sources {
		for _, p := range v.Sources[i].Each() {
			if from, to := sheet.Probes[p.Probe].Valid(); from > v.Record.Start || to < v.Record.End {
				return fmt.Sprintf("The probe was in use for a part of this visit only: %s. No stretch passes over a change.", s.place(v.Run, i))
			}
		}
	}
	return ""
}

// seconds writes a time to the millisecond.
func seconds(s quantity.Seconds) string { return fmt.Sprintf("%.3f s", s) }
