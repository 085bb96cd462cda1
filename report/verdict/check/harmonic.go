package check

import (
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

func findHarmonic(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		faults, noField := s.harmonicFaults(v)
		if len(faults) == 0 {
			return
		}
		f := visitFinding(run, v)
		f.Text, f.Evidence = wording.Say("harmonic", wording.Values{"faults": faults}), s.jobSheet()
		if !noField {
			f.State = Note
		}
		findings = append(findings, f)
	})
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		for _, h := range run.IdleHarmonics {
			f := runFinding(run)
			f.State, f.Evidence = Note, s.sheetOf(h.Place)
			f.Text = wording.Say("harmonic.idle", wording.Values{"order": h.Order, "frequency": h.Frequency})
			findings = append(findings, f)
		}
	}
	return findings
}

// harmonicFaults says what is wrong about the harmonics of a visit, and whether
// they leave no field.
func (s *Subject) harmonicFaults(v *evaluate.Visit) (faults []wording.Text, noField bool) {
	sheet := s.Day.Runs[v.Run].Sheet
	probes := v.Probes()
	for _, p := range probes {
		if p.NoField {
			noField = true
			faults = append(faults, wording.Say("harmonic.no-field", wording.Values{"file": p.File}))
		}
	}
	for _, h := range v.Harmonics {
		level := h.Level
		if quantity.Defined(h.Field) {
			level = h.Field.Over(v.Median)
		}
		if level > -s.Requirement.Harmonics+quantity.LevelSlack {
			faults = append(faults, wording.Say("harmonic.strong", wording.Values{"order": h.Order, "level": level, "limit": s.Requirement.Harmonics}))
		}
		for _, p := range probes {
			if sheet.Probes[p.Probe].Detector != quantity.DetectorRMS {
				faults = append(faults, wording.Say("harmonic.not-corrected", wording.Values{"file": p.File, "order": h.Order}))
			}
		}
	}
	return faults, noField
}
