package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/evaluate"
)

func findSamples(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		for i := range v.Probes {
			p := &v.Probes[i]
			if p.Samples > 0 {
				continue
			}
			f := visitFinding(run, v)
			f.Evidence = dwellRow(v)
			f.Message = fmt.Sprintf("The probe log %s has no usable reading between start and end of this visit.", p.File)
			if p.Invalid == 0 {
				f.Meaning = "The log may have stopped, or the clocks of log and dwell record may be apart."
			}
			findings = append(findings, f)
			return // one finding a visit and check
		}
	})
	return findings
}

func findCorrectionRange(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		for i := range v.Probes {
			if quantity.Defined(v.Probes[i].Factor) {
				continue
			}
			table := s.Day.Runs[v.Run].Probes[i].Correction
			points := table.Points
			f := visitFinding(run, v)
			f.Evidence = dwellRow(v)
			f.Message = fmt.Sprintf("The correction table %s reaches from %s to %s and not to %s; nothing is extrapolated.",
				table.File.Path, points[0].Frequency, points[len(points)-1].Frequency, v.Frequency())
			findings = append(findings, f)
			return
		}
	})
	return findings
}

// faulty reports whether invalid samples leave a probe without a valid stretch
// of the required time.
func faulty(p *evaluate.ProbeFigures) bool {
	return p.Invalid > 0 && !p.Continuous
}

func findProbeFault(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		worst := -1
		for i := range v.Probes {
			p := &v.Probes[i]
			if p.Invalid > 0 && (worst < 0 || faulty(p) && !faulty(&v.Probes[worst])) {
				worst = i
			}
		}
		if worst < 0 {
			return
		}
		p := &v.Probes[worst]
		f := visitFinding(run, v)
		f.Evidence = windowOf(p)
		f.Message = fmt.Sprintf("%d of %d readings cannot be trusted (%s).", p.Invalid, p.Invalid+p.Samples, strings.Join(p.InvalidWhy, "; "))
		if !faulty(p) {
			f.State = Note
			f.Message += fmt.Sprintf(" A valid stretch of %s remains.", seconds(p.ValidStretch))
		}
		findings = append(findings, f)
	})
	return findings
}

func findModulation(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if v.Modulation.Same(s.Requirement.Modulation) {
			return
		}
		f := visitFinding(run, v)
		f.Evidence = dwellRow(v)
		f.Message = fmt.Sprintf("The modulation was %s; required is %s.", v.Modulation, s.Requirement.Modulation)
		findings = append(findings, f)
	})
	return findings
}

// agreement is how far two statements of one frequency may differ (MIL-STD-461G
// 4.3.1 b gives ±2 % for frequency).
const agreement = 0.02

func findFrequencyAgreement(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		differs := func(other quantity.Frequency) bool {
			difference := float64(other-v.Frequency()) / float64(v.Frequency())
			return difference > agreement+quantity.Slack || difference < -agreement-quantity.Slack
		}
		f := visitFinding(run, v)
		for i := range v.Probes {
			if p := &v.Probes[i]; differs(p.FrequencyMedian) {
				f.Evidence = windowOf(p)
				f.Message = fmt.Sprintf("The probe log gives %s here, the dwell record %s.", p.FrequencyMedian, v.Frequency())
				findings = append(findings, f)
				return
			}
		}
		if power := &v.Power; differs(power.FrequencyMedian) {
			f.Evidence = s.powerRows(v)
			f.Message = fmt.Sprintf("The power file gives %s here, the dwell record %s.", power.FrequencyMedian, v.Frequency())
			findings = append(findings, f)
		}
	})
	return findings
}

// powerRows is the evidence of a visit's rows in the power file, or of its row
// in the dwell record where it has none.
func (s *Subject) powerRows(v *evaluate.Visit) []Evidence {
	if v.Power.Count == 0 {
		return dwellRow(v)
	}
	file := s.Day.Runs[v.Run].Power.File
	return []Evidence{{File: file.Path, Sheet: file.Sheet, First: v.Power.Rows.First, Last: v.Power.Rows.Last}}
}
