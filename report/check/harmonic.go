package check

import (
	"fmt"

	"fieldheld/ingest/quantity"
	"fieldheld/report/evaluate"
)

func findHarmonic(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		sheet := s.Day.Runs[v.Run].Sheet
		message := ""
		for _, h := range v.Harmonics {
			level := h.Level
			if quantity.Defined(h.Field) {
				level = h.Field.Over(v.Median)
			}
			if level > -s.Requirement.Harmonics+quantity.LevelSlack {
				message += fmt.Sprintf("Harmonic %d is %s over the fundamental; it must lie at least %s below. ", h.Order, level, s.Requirement.Harmonics)
			}
			for i := range sheet.Probes {
				if sheet.Probes[i].Detector != quantity.DetectorRMS {
					message += fmt.Sprintf("The readings of %s include harmonic %d and cannot be corrected for it, because only an rms detector adds powers. ",
						sheet.Probes[i].Log.File, h.Order)
				}
			}
		}
		if message == "" {
			return
		}
		f := visitFinding(run, v)
		f.Message, f.Evidence = message[:len(message)-1], s.jobSheet()
		findings = append(findings, f)
	})
	return findings
}
