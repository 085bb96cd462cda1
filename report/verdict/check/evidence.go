package check

import (
	"fmt"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
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
			f.Text = wording.Say("samples", wording.Values{"file": p.File})
			if p.Probe < 0 {
				f.Text = wording.Say("samples.no-probe", wording.Values{"probes": s.place(v.Run, i)})
			}
			findings = append(findings, f)
			return // one finding a visit and check
		}
	})
	return findings
}

// place lists the probes of a source of a run with the times of each.
func (s *Subject) place(run, source int) []wording.Text {
	sheet := s.Day.Runs[run].Sheet
	var probes []wording.Text
	for _, k := range sheet.Places()[source] {
		probes = append(probes, sheet.Probes[k].Timed(s.Day.Sheet.Report.Zone))
	}
	return probes
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
			f.Text = wording.Say("correction-range", wording.Values{"file": table.File.Path,
				"from": points[0].Frequency, "to": points[len(points)-1].Frequency, "frequency": v.Frequency()})
			findings = append(findings, f)
			return
		}
	})
	return findings
}

// distrusted begins a finding of readings that count in no figure: open where they
// leave no valid stretch of the required time, else a note, with the stretch that
// remains.
func distrusted(run *evaluate.Run, v *evaluate.Visit, p *evaluate.SourceFigures) (f Finding, remains string) {
	f = visitFinding(run, v)
	f.Evidence = windowOf(p)
	if v.Continuous {
		f.State, remains = Note, seconds(v.ValidStretch)
	}
	return f, remains
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
		f, remains := distrusted(run, v, p)
		var reasons []wording.Text
		for _, fault := range p.Faults {
			reasons = append(reasons, faultText(fault))
		}
		f.Text = wording.Say("probe-fault", wording.Values{"count": p.Faulty, "readings": p.Invalid + p.Samples, "reasons": reasons, "remains": remains})
		f.Cause = fmt.Sprint(p.Faults)
		findings = append(findings, f)
	})
	return findings
}

// faultText says why a probe could not be trusted.
func faultText(fault evaluate.ProbeFault) wording.Text {
	switch fault.Kind {
	case evaluate.MarkedInvalid:
		return wording.Say("probe-fault.marked", nil)
	case evaluate.BelowRange:
		return wording.Say("probe-fault.below-range", wording.Values{"limit": fault.Limit})
	case evaluate.AboveRange:
		return wording.Say("probe-fault.above-range", wording.Values{"limit": fault.Limit})
	case evaluate.Frozen:
		return wording.Say("probe-fault.frozen", wording.Values{"column": fault.Column, "samples": fault.Samples})
	default:
		return wording.Say("probe-fault.no-reading", nil)
	}
}

func findModulation(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if v.Modulation.Satisfies(s.Requirement.Modulation) {
			return
		}
		f := visitFinding(run, v)
		f.Evidence, f.Cause = dwellRow(v), v.Modulation.String()
		f.Text = wording.Say("modulation", wording.Values{"modulation": v.Modulation, "required": s.Requirement.Modulation})
		findings = append(findings, f)
	})
	return findings
}

func findFrequencyAgreement(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		var power wording.Text
		if v.Power.Disagreeing > 0 {
			power = wording.Say("frequency-agreement.power", wording.Values{"count": v.Power.Disagreeing, "first": v.Power.OtherFrequency})
		}
		if p := worstOf(v, func(p *evaluate.SourceFigures) quantity.Samples { return p.Disagreeing }); p != nil {
			f, remains := distrusted(run, v, p)
			f.Text = wording.Say("frequency-agreement.readings", wording.Values{"count": p.Disagreeing, "readings": p.Invalid + p.Samples,
				"frequency": v.Frequency(), "first": p.OtherFrequency, "remains": remains, "power": power})
			findings = append(findings, f)
			return
		}
		if !power.IsZero() {
			f := visitFinding(run, v)
			file := s.Day.Runs[v.Run].Power.File
			f.State, f.Text = Note, power
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
