package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

func findPower(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		if s.Day.Runs[i].Power == nil {
			continue
		}
		whole := s.powerOfRun(i)
		if len(whole.faults) > 0 {
			f := runFinding(run)
			file := s.Day.Runs[i].Power.File
			f.Evidence, f.Cause = []Evidence{{File: file.Path, Sheet: file.Sheet, First: whole.rows.First, Last: whole.rows.Last}}, "run"
			f.Text = wording.Say("power.run", wording.Values{"visits": whole.visits, "faults": whole.faults})
			findings = append(findings, f)
		}
		for _, v := range run.Visits {
			if !v.IsRequired() {
				continue
			}
			faults := powerFaults(v, s.Day.Runs[i].Sheet.ForwardMax, whole.cannotBe)
			if len(faults) == 0 {
				continue
			}
			f := visitFinding(run, v)
			f.Evidence, f.Cause = s.powerRows(v), causeOf(faults)
			f.Text = wording.Say("power", wording.Values{"faults": faults})
			findings = append(findings, f)
		}
	}
	return findings
}

// causeOf names what faults are of, without their values.
func causeOf(faults []wording.Text) string {
	var codes []string
	for _, fault := range faults {
		codes = append(codes, fault.Code)
	}
	return strings.Join(codes, ", ")
}

// runPower is what is wrong with the power of a whole run: what its visits have in
// common has one cause, and is told once.
type runPower struct {
	visits   int // with a power, required
	rows     evaluate.RowRange
	faults   []wording.Text
	cannotBe bool // for every visit the power cannot have given the field
}

// wholeRun is the least number of visits that have a cause in common.
const wholeRun = 3

// farBelowRating is how far below the rating of the path the forward power of a
// whole run lies that met its field: a path is not built a million times too strong
// (ours, no standard gives a figure).
const farBelowRating = quantity.Decibel(60)

func (s *Subject) powerOfRun(run int) runPower {
	var p runPower
	var least, most quantity.Power
	var leastRatio, mostRatio float64
	rating := s.Day.Runs[run].Sheet.ForwardMax
	cannotBe, below, met := 0, 0, 0
	for _, v := range s.Evaluated.Runs[run].Visits {
		if !v.IsRequired() || !quantity.Defined(v.Power.Forward) {
			continue
		}
		forward, k, rows := v.Power.Forward, v.Power.PerRootWatt, v.Power.Rows
		if p.visits++; p.visits == 1 {
			least, most, leastRatio, mostRatio, p.rows = forward, forward, k, k, rows
		}
		least, most, leastRatio, mostRatio = min(least, forward), max(most, forward), min(leastRatio, k), max(mostRatio, k)
		p.rows.First, p.rows.Last = min(p.rows.First, rows.First), max(p.rows.Last, rows.Last)
		if isAbsurd(k) {
			cannotBe++
		}
		if rating.Over(forward) > farBelowRating {
			below++
		}
		if v.Sustained >= v.Lowest {
			met++
		}
	}
	if p.visits < wholeRun {
		return p
	}
	if below == p.visits && 2*met > p.visits {
		p.faults = append(p.faults, wording.Say("power.far-below-rating", wording.Values{"least": least, "most": most, "rating": rating, "off": fmt.Sprintf("%.0f dB", rating.Over(most))}))
	}
	if cannotBe == p.visits {
		p.cannotBe = true
		p.faults = append(p.faults, wording.Say("power.cannot-be-run", wording.Values{"least": least, "most": most,
			"leastRatio": ratioText(leastRatio), "mostRatio": ratioText(mostRatio)}))
	}
	return p
}

func ratioText(k float64) string { return fmt.Sprintf("%.3g V/m", k) }

// powerFaults lists what is odd about the power of a visit, beside what is told of
// its run.
func powerFaults(v *evaluate.Visit, rating quantity.Power, toldOfRun bool) []wording.Text {
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
	if k := p.PerRootWatt; isAbsurd(k) && !toldOfRun {
		faults = append(faults, wording.Say("power.cannot-be", wording.Values{"forward": p.Forward, "field": v.Median, "ratio": ratioText(k)}))
	}
	return faults
}

// isAbsurd reports whether no antenna gives such a field per root watt.
func isAbsurd(k float64) bool { return k > mostPerRootWatt || k < leastPerRootWatt }

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
