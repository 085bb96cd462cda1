package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/evaluate"
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
	findings = append(findings, s.leftReadings()...)
	findings = append(findings, s.otherRows()...)
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

// otherRows reports the rows of dwell records that are no test steps.
func (s *Subject) otherRows() []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		if len(run.OtherRows) == 0 {
			continue
		}
		f := runFinding(run)
		rows := Evidence{File: s.Day.Runs[i].Dwell.File.Path, Sheet: s.Day.Runs[i].Dwell.File.Sheet, First: run.OtherRows[0].Record.Row}
		for _, v := range run.OtherRows {
			rows.First, rows.Last = min(rows.First, v.Record.Row), max(rows.Last, v.Record.Row)
		}
		f.Evidence = []Evidence{rows}
		f.Message = fmt.Sprintf("Rows of the dwell record that are no test steps: %s. They prove nothing, whatever was held in them.", evaluate.PurposesOf(run.OtherRows))
		findings = append(findings, f)
	}
	return findings
}

// leftReadings reports what probes read in visits while, as the job sheet says, they
// were not in use.
func (s *Subject) leftReadings() []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		for _, use := range run.Uses {
			if use.Left == 0 {
				continue
			}
			probe := &s.Day.Runs[i].Probes[use.Probe]
			f := runFinding(run)
			f.Evidence = []Evidence{{File: probe.Log.File.Path, Sheet: probe.Log.File.Sheet, First: use.LeftRows.First, Last: use.LeftRows.Last}}
			f.Message = fmt.Sprintf("Readings in visits while the probe was not in use, as the job sheet says: %d of %s. They count in no figure.",
				use.Left, probe.Sheet.Timed(s.Day.Sheet.Report.Zone))
			if quantity.Defined(use.High) {
				f.Meaning = fmt.Sprintf("As logged they lie between %s and %s.", use.Low, use.High)
			}
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
