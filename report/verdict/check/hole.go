package check

import (
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

// findHoles returns the check that reports the holes of one kind.
func findHoles(kind string) func(*Subject) []Finding {
	return func(s *Subject) []Finding {
		var findings []Finding
		for i := range s.Evaluated.Cells {
			cell := &s.Evaluated.Cells[i]
			for j := range cell.Holes {
				if hole := &cell.Holes[j]; hole.Check == kind {
					findings = append(findings, s.holeFinding(i, j))
				}
			}
		}
		return findings
	}
}

func (s *Subject) holeFinding(cellIndex, holeIndex int) Finding {
	f := s.cellFinding(cellIndex)
	cell := &s.Evaluated.Cells[cellIndex]
	hole := &cell.Holes[holeIndex]
	f.From, f.To, f.Hole = hole.From, hole.To, holeIndex+1
	f.Evidence = neighbours(hole)
	if len(f.Evidence) == 0 {
		f.Evidence = s.jobSheet()
	}
	switch hole.Check {
	case "step-size":
		f.Text = s.stepSize(cell, hole)
	case "coverage":
		f.Text = coverage(hole)
	case "polarization":
		f.Text = wording.Say("polarization", wording.Values{"polarization": cell.Polarization})
	case "position":
		f.Text = wording.Say("position.no-run", wording.Values{"position": cell.Position, "polarization": cell.Polarization})
	}
	return f
}

// stepSize says how far two neighbours are apart: in parts of the frequency, or in
// hertz where the requirement gives the step so.
func (s *Subject) stepSize(cell *evaluate.Cell, hole *evaluate.Hole) wording.Text {
	apart := hole.To - hole.From
	with := wording.Values{"apart": percent(float64(apart) / float64(hole.From)), "allowed": percent(s.Requirement.Step(hole.From)),
		"resolution": ""} // where frequencies written more exactly might keep the step
	if s.Requirement.IsAbsolute(hole.From) {
		with["apart"], with["allowed"] = apart.Rounded(), s.Requirement.StepWidth(hole.From)
	}
	if apart <= s.Requirement.StepWidth(hole.From)+cell.Resolution {
		with["resolution"] = cell.Resolution.String()
	}
	return wording.Say("step-size", with)
}

// coverage says what of a range was not visited.
func coverage(hole *evaluate.Hole) wording.Text {
	switch {
	case hole.IsListed():
		with := wording.Values{"frequency": hole.From, "before": "", "after": ""}
		if hole.Before != nil {
			with["before"] = hole.Before.Frequency.String()
		}
		if hole.After != nil {
			with["after"] = hole.After.Frequency.String()
		}
		return wording.Say("coverage.listed", with)
	case hole.Before == nil && hole.After == nil:
		return wording.Say("coverage.part", nil)
	case hole.After == nil:
		return wording.Say("coverage.end", nil)
	}
	return wording.Say("coverage.start", nil)
}

// neighbours is the evidence of a hole: the rows of the dwell records on both
// sides of it.
func neighbours(hole *evaluate.Hole) []Evidence {
	var evidence []Evidence
	for _, step := range []*evaluate.Step{hole.Before, hole.After} {
		if step != nil {
			evidence = append(evidence, dwellRow(step.Visits[0])...)
		}
	}
	return joinRows(evidence)
}

// findPositions reports antenna positions that no run serves, and polarizations
// for which the number of positions is not known.
func findPositions(s *Subject) []Finding {
	findings := findHoles("position")(s)
	for _, polarization := range quantity.Polarizations() {
		from, to, unknown := s.Requirement.UnknownPositions(polarization)
		if !unknown {
			continue
		}
		f := dayFinding()
		f.Polarization, f.From, f.To = polarization, from, to
		f.Evidence = s.jobSheet()
		f.Text = wording.Say("position.unknown", wording.Values{"polarization": polarization})
		findings = append(findings, f)
	}
	return findings
}
