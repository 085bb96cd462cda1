package report

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/requirement"
)

// Item is something that a report needs.
type Item struct {
	Name    string // as `omitted` in [report] names it
	Text    string // what it is, with its clause and key
	Present bool
}

// items lists what a report needs, in the order of the report. Clauses without a
// document are of ISO/IEC 17025:2017.
func items(r *Report) []Item {
	s := r.Sheet
	return []Item{
		{"number", "the report's number (7.8.2.1 d): report.number", s.Report.Number != ""},
		{"issued", "the date of issue (7.8.2.1 j): report.issued", !s.Report.Issued.IsZero()},
		{"laboratory", "name and address of the laboratory (7.8.2.1 b): laboratory.name, laboratory.address", s.Laboratory.Name != "" && s.Laboratory.Address != ""},
		{"place", "the place of the test (7.8.2.1 c): site.name", s.Site.Name != ""},
		{"customer", "name and contact of the customer (7.8.2.1 e): customer.name, customer.contact", s.Customer.Name != "" && s.Customer.Contact+s.Customer.Address != ""},
		{"identity", "what identifies the article (7.8.2.1 g): article.serial or article.part_number", s.Article.Serial+s.Article.PartNumber != ""},
		{"received", "the date of receipt of the article (7.8.2.1 h): article.received", !s.Article.Received.IsZero()},
		{"modes", "the article's modes of operation: article.modes", len(s.Article.Modes) > 0},
		{"criteria", "what counts as susceptible: article.criteria", s.Article.Criteria != ""},
		{"chamber", "the chamber: site.chamber", s.Site.Chamber != ""},
		{"setup", "the dimensions of the setup (MIL-STD-461G 5.21.3.5 d): site.distance, site.probe_height or the height of each probe, article.width", dimensioned(s)},
		{"environment", "a reading of the environment on a day of the test (7.8.3.1 a): [[environment]]", environmentRead(r)},
		{"photos", "a photo or diagram of the setup: [[photo]]", len(s.Photos) > 0},
		{"equipment", "the equipment that was used: [[equipment]]", len(s.Equipment) > 0},
		{"uncertainty", "the uncertainty of the field (7.8.3.1 c): [uncertainty]", r.Budget != nil},
		{"tested by", "who tested: [[signature]] role = \"tested by\"", signed(s, "tested by")},
		{"authorised by", "who authorises the report (7.8.2.1 o): [[signature]] role = \"authorised by\"", signed(s, "authorised by")},
	}
}

// dimensioned reports whether distance, probe heights and boundary are stated.
func dimensioned(s *jobsheet.Sheet) bool {
	heights := quantity.Defined(s.Site.ProbeHeight)
	if !heights {
		heights = len(s.Runs) > 0
		for i := range s.Runs {
			for k := range s.Runs[i].Probes {
				heights = heights && quantity.Defined(s.Runs[i].Probes[k].Height)
			}
		}
	}
	return heights && quantity.Defined(s.Site.Distance) && quantity.Defined(s.Article.Width)
}

// environmentRead reports whether the environment was read on a day of the test.
func environmentRead(r *Report) bool {
	for _, reading := range r.Sheet.Environment {
		if at := day(reading.At, r); !at.Before(day(r.FirstTest, r)) && !at.After(day(r.LastTest, r)) {
			return true
		}
	}
	return false
}

// day is the day of a time in the report's zone, as the dates of a job sheet are
// kept: midnight UTC.
func day(at time.Time, r *Report) time.Time {
	if zone := r.Sheet.Report.Zone; zone != nil {
		at = at.In(zone)
	}
	return time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, time.UTC)
}

func signed(s *jobsheet.Sheet, role string) bool {
	for _, signature := range s.Signatures {
		if signature.Role == role && !signature.Date.IsZero() {
			return true
		}
	}
	return false
}

// Absent reports whether the report lacks an item, by its name. Omitted is not nil
// where it was left out on purpose; else it is missing.
func (r *Report) Absent(name string) (omitted *Omission, absent bool) {
	for _, item := range r.Items {
		if item.Name != name || item.Present {
			continue
		}
		if reason, waived := r.Sheet.Report.Omitted[name]; waived {
			omitted = &Omission{Item: name, Reason: reason}
		}
		return omitted, true
	}
	return nil, false
}

// missing lists what the report lacks and nobody has waived, and what is wrong
// with it in a way that nobody can waive.
func missing(r *Report) []string {
	var list []string
	for _, item := range r.Items {
		if _, waived := r.Sheet.Report.Omitted[item.Name]; !item.Present && !waived {
			list = append(list, item.Text)
		}
	}
	list = append(list, unidentified(r)...)
	for _, o := range r.Requirement.Relaxations() {
		list = append(list, lacksOf(o)...)
	}
	return append(list, disorder(r)...)
}

// unidentified lists assets whose calibration is required and of which the report
// could not say which one was calibrated, or by what.
func unidentified(r *Report) []string {
	var list []string
	for i := range r.Equipment {
		e := &r.Equipment[i]
		if e.CalibrationNotRequired {
			continue
		}
		var lacks []string
		if e.Serial == "" {
			lacks = append(lacks, "serial number")
		}
		if e.Certificate == "" {
			lacks = append(lacks, "certificate")
		}
		if len(lacks) > 0 {
			list = append(list, fmt.Sprintf("%s of %s, whose calibration is required: [[equipment]] or the register", strings.Join(lacks, " and "), e.Asset))
		}
	}
	return list
}

// disorder lists dates that contradict each other: an article is received before
// it is tested, and a report is reviewed, authorised and issued in this order.
func disorder(r *Report) []string {
	type dated struct {
		what string
		at   time.Time
	}
	stages := [][]dated{{{"the article was received", r.Sheet.Article.Received}}}
	if !r.FirstTest.IsZero() {
		stages = append(stages, []dated{{"the test began", day(r.FirstTest, r)}}, []dated{{"the test ended", day(r.LastTest, r)}})
	}
	for _, role := range []string{"tested by", "reviewed by", "authorised by"} {
		var stage []dated
		for _, s := range r.Sheet.Signatures {
			if s.Role == role {
				stage = append(stage, dated{fmt.Sprintf("“%s %s” is dated", role, s.Name), s.Date})
			}
		}
		stages = append(stages, stage)
	}
	stages = append(stages, []dated{{"the report is issued", r.Sheet.Report.Issued}})
	var list []string
	var latest, blamed dated
	for _, stage := range stages {
		before := latest
		for _, d := range stage {
			if d.at.IsZero() {
				continue
			}
			if d.at.Before(before.at) && before != blamed {
				blamed = before // one contradiction is said once, not of every later date
				list = append(list, fmt.Sprintf("dates in their order: %s %s, but %s %s", d.what, d.at.Format(time.DateOnly), before.what, before.at.Format(time.DateOnly)))
			}
			if d.at.After(latest.at) {
				latest = d
			}
		}
	}
	return list
}

// lacksOf lists what is missing of a relaxation: why less was asked for, and who
// agreed to it. Neither can be waived.
func lacksOf(o requirement.Override) []string {
	what := fmt.Sprintf("%s %s, which asks for less than the requirement (%s)", o.Name(), o.Is, o.Was)
	var list []string
	if o.Reason == "" {
		list = append(list, fmt.Sprintf("the reason for %s: requirement.reasons.%s", what, o.Key))
	}
	if o.AgreedBy == "" {
		list = append(list, fmt.Sprintf("who agreed to %s: requirement.agreed_by", what))
	}
	return list
}

// omissions lists the items that the job sheet leaves out for a stated reason.
func omissions(s *jobsheet.Sheet) []Omission {
	var list []Omission
	for _, name := range sortedKeys(s.Report.Omitted) {
		list = append(list, Omission{Item: name, Reason: s.Report.Omitted[name]})
	}
	return list
}
