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
			f.Message, f.Cause = rowMessage(problem), problem.Reason
			findings = append(findings, f)
		}
	}
	for _, rows := range s.Day.Unclaimed {
		f := dayFinding()
		f.Evidence = []Evidence{{File: rows.File, First: rows.First, Last: rows.Last}}
		f.Message = fmt.Sprintf("Unclaimed: %d rows of the dwell record belong to no run of the job sheet.", rows.Count)
		findings = append(findings, f)
	}
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
	case record.NoValue:
		return "Row without a reading, which keeps its time and counts as invalid: " + p.Reason + "."
	case record.Remark:
		return "Of the whole file: " + p.Reason + "."
	default:
		return "Unreadable row, left out of every figure: " + p.Reason + "."
	}
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
