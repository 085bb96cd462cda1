package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/record"
)

func findRecord(s *Subject) []Finding {
	var findings []Finding
	for _, file := range s.Day.Read {
		for _, problem := range file.Problems {
			f := dayFinding()
			f.Evidence = []Evidence{{File: file.Path, Sheet: file.Sheet, First: problem.Row, Last: problem.Row}}
			f.Message = rowMessage(problem)
			findings = append(findings, f)
		}
	}
	for _, rows := range s.Day.Unclaimed {
		f := dayFinding()
		f.Evidence = []Evidence{{File: rows.File, First: rows.First, Last: rows.Last}}
		f.Message = fmt.Sprintf("Unclaimed: %d rows of the dwell record belong to no run of the job sheet.", rows.Count)
		findings = append(findings, f)
	}
	findings = append(findings, s.overlaps()...)
	findings = append(findings, s.registerDifferences()...)
	findings = append(findings, s.certificateDifferences()...)
	findings = append(findings, s.unusedAssets()...)
	findings = append(findings, s.orderOfDates()...)
	return findings
}

func rowMessage(p record.RowProblem) string {
	switch p.Kind {
	case record.Duplicate:
		return "Duplicate row: every cell is equal to the row before; it was kept."
	case record.UnknownMark:
		return "Unknown mark, the reading is taken as invalid: " + p.Reason + "."
	default:
		return "Unreadable row, left out of every figure: " + p.Reason + "."
	}
}

// overlaps reports each visit of a run that begins before the one before it ends.
func (s *Subject) overlaps() []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		for j := 1; j < len(run.Visits); j++ {
			before, v := run.Visits[j-1], run.Visits[j]
			if v.Record.Start >= before.Record.End {
				continue
			}
			f := runFinding(run)
			f.Evidence = dwellRow(v)
			f.Message = fmt.Sprintf("Overlap: the visit at %s begins %s before the one at %s ends.",
				v.Frequency(), before.Record.End.Sub(v.Record.Start), before.Frequency())
			findings = append(findings, f)
		}
	}
	return findings
}

// registerDifferences reports what job sheet and register say differently of an asset.
func (s *Subject) registerDifferences() []Finding {
	var findings []Finding
	for i := range s.Day.Equipment {
		e := &s.Day.Equipment[i]
		if len(e.Differences) == 0 {
			continue
		}
		f := dayFinding()
		f.Evidence = s.assetEvidence(e.Asset)
		f.Message = fmt.Sprintf("Job sheet and register differ about %s: %s. The job sheet was followed.",
			e.Asset, strings.Join(e.Differences, "; "))
		findings = append(findings, f)
	}
	return findings
}
