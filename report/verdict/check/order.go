package check

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
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
		what string
		date time.Time
	}
	events := []event{{"the article was received", sheet.Article.Received}, {"the first test was", first}, {"the last test was", last}}
	for _, role := range []string{"tested by", "reviewed by", "authorised by"} {
		events = append(events, event{strings.TrimSuffix(role, " by") + " is signed", signed(sheet, role)})
	}
	events = append(events, event{"the report was issued", sheet.Report.Issued})
	events = slices.DeleteFunc(events, func(e event) bool { return e.date.IsZero() })
	var findings []Finding
	for i := 1; i < len(events); i++ {
		before, after := events[i-1], events[i]
		if !after.date.Before(before.date) {
			continue
		}
		f := dayFinding()
		f.Evidence = s.jobSheet()
		f.Message = fmt.Sprintf("Dates out of order: %s on %s, before %s on %s.", after.what, date(after.date), before.what, date(before.date))
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
		f.Message = fmt.Sprintf("%s (%s) is in the list of equipment and no run names it.", e.Asset, e.Role)
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
			f.Message = fmt.Sprintf("The correction table names certificate %s; the certificate of %s is %s.", table.Certificate, e.Asset, e.Certificate)
			findings = append(findings, f)
		}
	}
	return findings
}
