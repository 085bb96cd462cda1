package check

import (
	"slices"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

func findRecord(s *Subject) []Finding {
	var findings []Finding
	for _, file := range s.Day.Read {
		for _, problem := range file.Problems {
			f := dayFinding()
			f.Evidence = []Evidence{{File: file.Path, Sheet: file.Sheet, First: problem.Row, Last: problem.Row}}
			f.Text, f.Cause = rowText(problem), problem.Reason.String()
			f.ActsOn = s.runsReading(file.Path, file.Sheet)
			findings = append(findings, f)
		}
	}
	for _, rows := range s.Day.Unclaimed {
		f := dayFinding()
		f.Evidence = []Evidence{{File: rows.File, First: rows.First, Last: rows.Last}}
		f.Text = wording.Say("record.unclaimed", wording.Values{"rows": rows.Count})
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

// runsReading are the indices of the runs that name a file, or the sheet of a workbook:
// what is wrong with it is no matter of the other runs. Nil where no run names it, as
// the list of equipment.
func (s *Subject) runsReading(path, sheet string) []int {
	var runs []int
	for i := range s.Day.Runs {
		named := slices.ContainsFunc(s.Day.Runs[i].Sheet.Files(), func(f jobsheet.NamedFile) bool {
			return f.Entry.File == path && (f.Entry.Sheet == sheet || f.Entry.Sheet == "" || sheet == "")
		})
		if named {
			runs = append(runs, i)
		}
	}
	return runs
}

func rowText(p record.RowProblem) wording.Text {
	switch p.Kind {
	case record.Duplicate:
		return wording.Say("record.duplicate", nil)
	case record.UnknownMark:
		return wording.Say("record.unknown-mark", wording.Values{"reason": p.Reason})
	case record.NoValue:
		return wording.Say("record.no-value", wording.Values{"reason": p.Reason})
	case record.Remark:
		return wording.Say("record.remark", wording.Values{"reason": p.Reason})
	default:
		return wording.Say("record.unreadable", wording.Values{"reason": p.Reason})
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
		f.Text = wording.Say("record.no-test-steps", wording.Values{"rows": evaluate.PurposesOf(run.OtherRows)})
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
			low, high := "", ""
			if quantity.Defined(use.High) {
				low, high = use.Low.String(), use.High.String()
			}
			f.Text = wording.Say("record.probe-not-in-use", wording.Values{"readings": use.Left, "probe": probe.Sheet.Timed(s.Day.Sheet.Report.Zone), "low": low, "high": high})
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
		f.Text = wording.Say("record.register", wording.Values{"asset": e.Asset, "differences": e.Differences})
		findings = append(findings, f)
	}
	return findings
}
