package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

func findHarmonic(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		message, noField := s.harmonicFaults(v)
		if message == "" {
			return
		}
		f := visitFinding(run, v)
		f.Message, f.Evidence = message, s.jobSheet()
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
			f.Message = fmt.Sprintf("Harmonic %d of %s is stated, and the run has no visit at that frequency; it corrects nothing.", h.Order, h.Frequency)
			findings = append(findings, f)
		}
	}
	return findings
}

// harmonicFaults says what is wrong about the harmonics of a visit, and whether
// they leave no field.
func (s *Subject) harmonicFaults(v *evaluate.Visit) (message string, noField bool) {
	var faults []string
	sheet := s.Day.Runs[v.Run].Sheet
	probes := v.Probes()
	for _, p := range probes {
		if p.NoField {
			noField = true
			faults = append(faults, fmt.Sprintf("The harmonics are as strong as the reading of %s or stronger and leave no field of the fundamental.", p.File))
		}
	}
	for _, h := range v.Harmonics {
		level := h.Level
		if quantity.Defined(h.Field) {
			level = h.Field.Over(v.Median)
		}
		if level > -s.Requirement.Harmonics+quantity.LevelSlack {
			faults = append(faults, fmt.Sprintf("Harmonic %d is %s over the fundamental; it must lie at least %s below.", h.Order, level, s.Requirement.Harmonics))
		}
		for _, p := range probes {
			if sheet.Probes[p.Probe].Detector != quantity.DetectorRMS {
				faults = append(faults, fmt.Sprintf("The readings of %s include harmonic %d and cannot be corrected for it, because only an rms detector adds powers.",
					p.File, h.Order))
			}
		}
	}
	return strings.Join(faults, " "), noField
}
