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
		step := float64(hole.To-hole.From) / float64(hole.From)
		resolution := "" // where frequencies written more exactly might keep the step
		if allowed := quantity.Frequency(s.Requirement.Step(hole.From)) * hole.From; hole.To-hole.From <= allowed+cell.Resolution {
			resolution = cell.Resolution.String()
		}
		f.Text = wording.Say("step-size", wording.Values{"apart": percent(step), "allowed": percent(s.Requirement.Step(hole.From)), "resolution": resolution})
	case "coverage":
		f.Text = wording.Say("coverage.start", nil)
		if hole.After == nil {
			f.Text = wording.Say("coverage.end", nil)
		}
	case "polarization":
		f.Text = wording.Say("polarization", wording.Values{"polarization": cell.Polarization})
	case "position":
		f.Text = wording.Say("position.no-run", wording.Values{"position": cell.Position, "polarization": cell.Polarization})
	}
	return f
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
