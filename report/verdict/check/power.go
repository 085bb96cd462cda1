package check

import (
	"fmt"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

func findPower(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if s.Day.Runs[v.Run].Power == nil {
			return
		}
		faults := powerFaults(v, s.Day.Runs[v.Run].Sheet.ForwardMax)
		if len(faults) == 0 {
			return
		}
		f := visitFinding(run, v)
		f.Evidence = s.powerRows(v)
		f.Text = wording.Say("power", wording.Values{"faults": faults})
		findings = append(findings, f)
	})
	return findings
}

// powerFaults lists what is odd about the power of a visit.
func powerFaults(v *evaluate.Visit, rating quantity.Power) []wording.Text {
	var faults []wording.Text
	p := &v.Power
	switch {
	case p.Count == 0:
		faults = append(faults, wording.Say("power.no-row", nil))
	case len(p.OutOfTable) > 0:
		faults = append(faults, wording.Say("power.correction-range", wording.Values{"tables": p.OutOfTable, "frequency": v.Frequency()}))
	}
	if p.Reflected > p.Forward {
		faults = append(faults, wording.Say("power.reflected", wording.Values{"reflected": p.Reflected, "forward": p.Forward}))
	}
	if over := p.Forward.Over(rating); over > quantity.LevelSlack {
		faults = append(faults, wording.Say("power.rating", wording.Values{"forward": p.Forward, "off": levelOff(over), "rating": rating}))
	}
	if k := p.PerRootWatt; k > mostPerRootWatt || k < leastPerRootWatt {
		faults = append(faults, wording.Say("power.cannot-be", wording.Values{"forward": p.Forward, "field": v.Median, "ratio": fmt.Sprintf("%.3g V/m", k)}))
	}
	return faults
}

// No antenna, stripline or cell gives a field per root watt outside these bounds:
// 1,000 V/m/√W would take a gain of 45 dB at 1 m, 0.01 V/m/√W 400 MW for 200 V/m
// (ours, from E = √(30·P·G)/d; no standard gives a figure).
const (
	mostPerRootWatt  = 1000
	leastPerRootWatt = 0.01
)

func findMismatch(s *Subject) []Finding {
	limit := s.Day.Sheet.Requirement.MismatchLimit
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if !(v.Power.VSWR > limit*(1+quantity.Slack)) {
			return
		}
		f := visitFinding(run, v)
		f.Evidence = s.powerRows(v)
		f.Text = wording.Say("mismatch", wording.Values{"vswr": fmt.Sprintf("%.3g", float64(v.Power.VSWR)), "limit": fmt.Sprintf("%.3g", float64(limit)),
			"back": percent(v.Power.Reflected / v.Power.Forward)})
		findings = append(findings, f)
	})
	return findings
}
