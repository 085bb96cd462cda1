package check

import (
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/templates/wording"
)

// orderOfDates reports dates of the job sheet that do not follow each other:
// received, first test, last test, tested, reviewed, authorised, issued.
func (s *Subject) orderOfDates() []Finding {
	sheet := s.Day.Sheet
	var all []int
	for i := range s.Evaluated.Runs {
		all = append(all, i)
	}
	first, last := s.testDates(all...)
	type event struct {
		what wording.Text
		date time.Time
	}
	events := []event{{wording.Say("date.received", nil), sheet.Article.Received}, {wording.Say("date.first-test", nil), first}, {wording.Say("date.last-test", nil), last}}
	for _, role := range []string{"tested by", "reviewed by", "authorised by"} {
		events = append(events, event{wording.Say("date.signed", wording.Values{"role": strings.TrimSuffix(role, " by")}), signed(sheet, role)})
	}
	events = append(events, event{wording.Say("date.issued", nil), sheet.Report.Issued})
	events = slices.DeleteFunc(events, func(e event) bool { return e.date.IsZero() })
	var findings []Finding
	for i := 1; i < len(events); i++ {
		before, after := events[i-1], events[i]
		if !after.date.Before(before.date) {
			continue
		}
		f := dayFinding()
		f.Evidence = s.jobSheet()
		f.Text = wording.Say("record.order-of-dates", wording.Values{"later": after.what, "laterDate": date(after.date),
			"earlier": before.what, "earlierDate": date(before.date)})
		findings = append(findings, f)
	}
	return findings
}

// signed returns the date of the first signature in a role, zero for none.
func signed(sheet *jobsheet.Sheet, role string) time.Time {
	for _, signature := range sheet.Signatures {
		if signature.Role == role {
			return signature.Date
		}
	}
	return time.Time{}
}

// unusedAssets reports assets that a run could name and none does.
func (s *Subject) unusedAssets() []Finding {
	var named []string
	for i := range s.Day.Runs {
		named = append(named, s.assetsOf(i)...)
	}
	var findings []Finding
	for i := range s.Day.Equipment {
		e := &s.Day.Equipment[i]
		switch e.Role {
		case "antenna", "amplifier", "field probe":
		default:
			continue // no run names these
		}
		if slices.Contains(named, e.Asset) {
			continue
		}
		f := dayFinding()
		f.Evidence = s.jobSheet()
		f.Text = wording.Say("record.unused-asset", wording.Values{"asset": e.Asset, "role": e.Role})
		findings = append(findings, f)
	}
	return findings
}

// certificateDifferences reports correction tables that name another certificate
// than the one of their probe.
func (s *Subject) certificateDifferences() []Finding {
	var findings []Finding
	seen := map[string]bool{}
	for i := range s.Day.Runs {
		for _, probe := range s.Day.Runs[i].Probes {
			table, e := probe.Correction, s.Day.Asset(probe.Sheet.Asset)
			if table == nil || e == nil || table.Certificate == "" || e.Certificate == "" || strings.EqualFold(table.Certificate, e.Certificate) {
				continue
			}
			key := table.File.Path + " " + e.Asset
			if seen[key] {
				continue
			}
			seen[key] = true
			f := dayFinding()
			f.Evidence = []Evidence{{File: table.File.Path, Sheet: table.File.Sheet}}
			f.Text = wording.Say("record.certificate", wording.Values{"table": table.Certificate, "asset": e.Asset, "certificate": e.Certificate})
			findings = append(findings, f)
		}
	}
	return findings
}
