package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
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
		f.Message = strings.Join(faults, " ")
		findings = append(findings, f)
	})
	return findings
}

// powerFaults lists what is odd about the power of a visit.
func powerFaults(v *evaluate.Visit, rating quantity.Power) []string {
	var faults []string
	p := &v.Power
	switch {
	case p.Count == 0:
		faults = append(faults, "The power file has no row for this visit.")
	case len(p.OutOfTable) > 0:
		faults = append(faults, fmt.Sprintf("%s does not reach %s; the power is not known here.",
			strings.Join(p.OutOfTable, " and "), v.Frequency()))
	}
	if p.Reflected > p.Forward {
		faults = append(faults, fmt.Sprintf("The reflected power of %s is above the forward power of %s: the couplers may be interchanged or a correction wrong.",
			p.Reflected, p.Forward))
	}
	if over := p.Forward.Over(rating); over > quantity.LevelSlack {
		faults = append(faults, fmt.Sprintf("The forward power of %s is %s above the rating of %s of the weakest part in the path.",
			p.Forward, levelOff(over), rating))
	}
	if k := p.PerRootWatt; k > mostPerRootWatt || k < leastPerRootWatt {
		faults = append(faults, fmt.Sprintf("A forward power of %s cannot have given a field of %s: %.3g V/m for each root watt. A coupler table may have the wrong sign, or the unit is another.",
			p.Forward, v.Median, k))
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
		f.Message = fmt.Sprintf("The VSWR of %.3g is above the limit of %.3g; %.3g %% of the power comes back.",
			float64(v.Power.VSWR), float64(limit), 100*float64(v.Power.Reflected/v.Power.Forward))
		findings = append(findings, f)
	})
	return findings
}
