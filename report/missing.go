package report

import (
	"fmt"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/report/requirement"
)

// item is something that a report needs.
type item struct {
	name    string // as `omitted` in [report] names it
	text    string // what is missing, for the list on page 2
	present bool
}

// items lists what a report needs, in the order of the report. Clauses are of
// ISO/IEC 17025:2017.
func items(r *Report, day *ingest.Day) []item {
	s := r.Sheet
	return []item{
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
		{"environment", "a reading of the environment (7.8.3.1 a): [[environment]]", len(s.Environment) > 0},
		{"photos", "a photo or diagram of the setup: [[photo]]", len(s.Photos) > 0},
		{"equipment", "the equipment that was used: [[equipment]]", len(s.Equipment) > 0},
		{"uncertainty", "the uncertainty of the field (7.8.3.1 c): [uncertainty]", r.Budget != nil},
		{"tested by", "who tested: [[signature]] role = \"tested by\"", signed(s, "tested by")},
		{"authorised by", "who authorises the report (7.8.2.1 o): [[signature]] role = \"authorised by\"", signed(s, "authorised by")},
	}
}

func signed(s *jobsheet.Sheet, role string) bool {
	for _, signature := range s.Signatures {
		if signature.Role == role && !signature.Date.IsZero() {
			return true
		}
	}
	return false
}

// missing lists what the report lacks and nobody has waived.
func missing(r *Report, day *ingest.Day) []string {
	var list []string
	for _, item := range items(r, day) {
		if _, waived := r.Sheet.Report.Omitted[item.name]; !item.present && !waived {
			list = append(list, item.text)
		}
	}
	for _, photo := range day.MissingPhotos {
		list = append(list, "a photo that the job sheet names: "+photo.Found)
	}
	for _, o := range r.Requirement.Relaxations() {
		list = append(list, lacksOf(o)...)
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
