package check

import (
	"fieldheld/ingest/record"
	"fieldheld/templates/wording"
)

func findRecord(s *Subject) []Finding {
	var findings []Finding
	for _, file := range s.Day.Read {
		for _, problem := range file.Problems {
			f := dayFinding()
			f.Evidence = []Evidence{{File: file.Path, Sheet: file.Sheet, First: problem.Row, Last: problem.Row}}
			f.Text, f.Cause = rowText(problem), problem.Reason.String()
			findings = append(findings, f)
		}
	}
	for _, rows := range s.Day.Unclaimed {
		f := dayFinding()
		f.Evidence = []Evidence{{File: rows.File, First: rows.First, Last: rows.Last}}
		f.Text = wording.Say("record.unclaimed", wording.Values{"rows": rows.Count})
		findings = append(findings, f)
	}
	findings = append(findings, s.registerDifferences()...)
	findings = append(findings, s.certificateDifferences()...)
	findings = append(findings, s.unusedAssets()...)
	findings = append(findings, s.orderOfDates()...)
	return findings
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
