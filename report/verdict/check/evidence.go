package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

func findSamples(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		for i := range v.Sources {
			p := &v.Sources[i]
			if p.Samples+p.Invalid > 0 {
				continue
			}
			f := visitFinding(run, v)
			f.Evidence = dwellRow(v)
			f.Message = fmt.Sprintf("The probe log %s has no reading between start and end of this visit.", p.File)
			f.Meaning = "The log may have stopped, or the clocks of log and dwell record may be apart."
			if p.Probe < 0 {
				f.Message = fmt.Sprintf("No probe was in use between start and end of this visit: %s.", s.place(v.Run, i))
				f.Meaning = "The visit may lie within the change of the probe, or the times of the probes are wrong."
			}
			findings = append(findings, f)
			return // one finding a visit and check
		}
	})
	return findings
}

// place lists the probes of a source of a run with the times of each.
func (s *Subject) place(run, source int) string {
	sheet := s.Day.Runs[run].Sheet
	var probes []string
	for _, k := range sheet.Places()[source] {
		probes = append(probes, sheet.Probes[k].Timed(s.Day.Sheet.Report.Zone))
	}
	return strings.Join(probes, "; ")
}

func findCorrectionRange(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		for _, p := range v.Probes() {
			if quantity.Defined(p.Factor) {
				continue
			}
			table := s.Day.Runs[v.Run].Probes[p.Probe].Correction
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

// distrusted begins a finding of readings that count in no figure: open where they
// leave no valid stretch of the required time, else a note.
func distrusted(run *evaluate.Run, v *evaluate.Visit, p *evaluate.SourceFigures, message string) Finding {
	f := visitFinding(run, v)
	f.Evidence, f.Message = windowOf(p), message
	if v.Continuous {
		f.State = Note
		f.Message += fmt.Sprintf(" A valid stretch of %s remains.", seconds(v.ValidStretch))
	}
	return f
}

// worstOf returns the probe with such readings that has the shortest valid stretch
// by itself; nil where none has any.
func worstOf(v *evaluate.Visit, count func(*evaluate.SourceFigures) quantity.Samples) *evaluate.SourceFigures {
	var worst *evaluate.SourceFigures
	for i := range v.Sources {
		if p := &v.Sources[i]; count(p) > 0 && (worst == nil || p.ValidStretch < worst.ValidStretch) {
			worst = p
		}
	}
	return worst
}

func findProbeFault(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		p := worstOf(v, func(p *evaluate.SourceFigures) quantity.Samples { return p.Faulty })
		if p == nil {
			return
		}
		reasons := strings.Join(p.FaultWhy, "; ")
		f := distrusted(run, v, p, fmt.Sprintf("%d of %d readings cannot be trusted (%s).", p.Faulty, p.Invalid+p.Samples, reasons))
		f.Cause = reasons
		findings = append(findings, f)
	})
	return findings
}

func findModulation(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if v.Modulation.Satisfies(s.Requirement.Modulation) {
			return
		}
		f := visitFinding(run, v)
		f.Evidence, f.Cause = dwellRow(v), v.Modulation.String()
		f.Message = fmt.Sprintf("The modulation was %s; required is %s.", v.Modulation, s.Requirement.Modulation)
		findings = append(findings, f)
	})
	return findings
}

func findFrequencyAgreement(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		power := ""
		if v.Power.Disagreeing > 0 {
			power = fmt.Sprintf("Power rows of another frequency count in no figure: %d, the first of %s.",
				v.Power.Disagreeing, v.Power.OtherFrequency)
		}
		if p := worstOf(v, func(p *evaluate.SourceFigures) quantity.Samples { return p.Disagreeing }); p != nil {
			f := distrusted(run, v, p, fmt.Sprintf("%d of %d readings are logged at another frequency than %s, which the dwell record says; the first at %s.",
				p.Disagreeing, p.Invalid+p.Samples, v.Frequency(), p.OtherFrequency))
			f.Meaning = power
			findings = append(findings, f)
			return
		}
		if power != "" {
			f := visitFinding(run, v)
			file := s.Day.Runs[v.Run].Power.File
			f.State, f.Message = Note, power
			f.Evidence = []Evidence{{File: file.Path, Sheet: file.Sheet, First: v.Power.OtherRows.First, Last: v.Power.OtherRows.Last}}
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
