package check

import (
	"fmt"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
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
		f.Message = fmt.Sprintf("These neighbours are %.3g %% apart; at most %.3g %% is allowed.", 100*step, 100*float64(s.Requirement.Step(hole.From)))
		if allowed := quantity.Frequency(s.Requirement.Step(hole.From)) * hole.From; hole.To-hole.From <= allowed+cell.Resolution {
			f.Message += fmt.Sprintf(" Frequencies are written to %s: no true frequencies so near to them keep every step.", cell.Resolution)
		}
	case "coverage":
		f.Message = "The first step lies above the start of the required range."
		if hole.After == nil {
			f.Message = "The last step lies below the end of the required range."
		}
	case "polarization":
		f.Message = fmt.Sprintf("No run has %s polarization here.", cell.Polarization)
	case "position":
		f.Message = fmt.Sprintf("No run stands at antenna position %d with %s polarization here.", cell.Position, cell.Polarization)
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
		f.Message = fmt.Sprintf("The number of antenna positions for %s polarization is not known here.", polarization)
		f.Meaning = "State article.width where the requirement rules the number by it; above that frequency it follows from the beam of the antenna: state requirement.positions."
		findings = append(findings, f)
	}
	return findings
}
