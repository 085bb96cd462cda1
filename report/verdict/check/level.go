package check

import (
	"fmt"
	"math"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

func findLevel(s *Subject) []Finding {
	var findings []Finding
	rule := s.Requirement.Rule
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		level := v.Level()
		margin := level.Over(v.Lowest)
		if !quantity.Defined(level) || rule.Accepts(margin, v.Budget) {
			return
		}
		f := visitFinding(run, v)
		f.Evidence = levelWindow(v)
		needed := "" // forward power, by the square law
		if quantity.Defined(v.Power.Forward) && level > 0 {
			needed = v.Power.Forward.Plus(rule.Margin(v.Budget) - margin).String()
		}
		if rule.Guarded && margin >= -quantity.LevelSlack {
			f.Text = wording.Say("level.not-accepted", wording.Values{"level": levelText(v, level.String()), "off": levelOff(margin),
				"lowest": v.Lowest, "margin": levelOff(rule.Margin(v.Budget)), "forward": v.Power.Forward, "needed": needed})
		} else {
			f.Text = wording.Say("level.below", wording.Values{"level": levelText(v, fieldBeside(level, v.Lowest)), "off": levelOff(-margin),
				"lowest": v.Lowest, "forward": v.Power.Forward, "needed": needed})
		}
		findings = append(findings, f)
	})
	return findings
}

// levelText says what the level of a visit is: its sustained field, or where it has
// none the field in its longest stretch.
func levelText(v *evaluate.Visit, field string) wording.Text {
	if quantity.Defined(v.Sustained) {
		return wording.Say("level.sustained", wording.Values{"field": field})
	}
	return wording.Say("level.longest", wording.Values{"field": field, "stretch": seconds(v.ValidStretch)})
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
		f.Text = wording.Say("overlevel", wording.Values{"field": fieldBeside(v.Known, v.Highest),
			"off": levelOff(v.Known.Over(v.Highest)), "highest": v.Highest})
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
		required := seconds(quantity.Seconds(v.Required.Seconds()))
		probes := s.changeWithin(v)
		f.Text = wording.Say("dwell.too-short", wording.Values{"stretch": seconds(v.ValidStretch), "required": required, "probes": probes})
		if v.Dwell == evaluate.DwellTooFew {
			f.Cause = "too few"
			f.Text = wording.Say("dwell.too-few", wording.Values{"required": required, "samples": s.Requirement.MinSamples, "probes": probes})
		}
		findings = append(findings, f)
	})
	return findings
}

// changeWithin lists the probes of a place of which one was in use for a part of a
// visit only, so that no stretch of its readings goes on; none where none was.
func (s *Subject) changeWithin(v *evaluate.Visit) []wording.Text {
	sheet := s.Day.Runs[v.Run].Sheet
	for i := range v.Sources {
		for _, p := range v.Sources[i].Each() {
			if from, to := sheet.Probes[p.Probe].Valid(); from > v.Record.Start || to < v.Record.End {
				return s.place(v.Run, i)
			}
		}
	}
	return nil
}

// seconds writes a time to the millisecond.
func seconds(s quantity.Seconds) string { return fmt.Sprintf("%.3f s", s) }
