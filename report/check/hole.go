package check

import (
	"fmt"

	"fieldheld/ingest/quantity"
	"fieldheld/report/evaluate"
)

// findHoles returns the check that reports the holes of one kind.
func findHoles(kind string) func(*Subject) []Finding {
	return func(s *Subject) []Finding {
		var findings []Finding
		for i := range s.Evaluated.Cells {
			cell := &s.Evaluated.Cells[i]
			for j := range cell.Holes {
				if hole := &cell.Holes[j]; hole.Check == kind {
					findings = append(findings, s.holeFinding(cell, hole))
				}
			}
		}
		return findings
	}
}

func (s *Subject) holeFinding(cell *evaluate.Cell, hole *evaluate.Hole) Finding {
	f := Finding{Polarization: cell.Polarization, Position: cell.Position, From: hole.From, To: hole.To}
	if len(cell.Runs) == 1 {
		f.Run = s.Evaluated.Runs[cell.Runs[0]].ID
	}
	f.Evidence = neighbours(hole)
	if len(f.Evidence) == 0 {
		f.Evidence = s.jobSheet()
	}
	switch hole.Check {
	case "step-size":
		step := float64(hole.To-hole.From) / float64(hole.From)
		f.Message = fmt.Sprintf("These neighbours are %.3g %% apart; at most %.3g %% is allowed.", 100*step, 100*float64(s.Requirement.Step(hole.From)))
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
	for _, v := range []*evaluate.Visit{hole.Before, hole.After} {
		if v == nil {
			continue
		}
		row := v.Record.Row
		if n := len(evidence); n > 0 && evidence[n-1].File == v.DwellFile {
			evidence[n-1].First = min(evidence[n-1].First, row)
			evidence[n-1].Last = max(evidence[n-1].Last, row)
			continue
		}
		evidence = append(evidence, Evidence{File: v.DwellFile, First: row, Last: row})
	}
	return evidence
}

// sameRange reports whether two ranges have the same ends, with the slack of borders.
func sameRange(aFrom, aTo, bFrom, bTo quantity.Frequency) bool {
	return aFrom.Within(bFrom, bFrom) && bFrom.Within(aFrom, aFrom) && aTo.Within(bTo, bTo) && bTo.Within(aTo, aTo)
}
