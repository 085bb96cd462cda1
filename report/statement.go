package report

import (
	"fmt"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// answer says in one sentence what was shown, to which requirement and with
// which decision rule (ISO/IEC 17025:2017, 7.8.6.2).
func answer(r *Report) string {
	met := 0
	for i := range r.Cells {
		if s := r.Cells[i].State; s == Met || s == MetWithDeviations {
			met++
		}
	}
	requirement := fmt.Sprintf("“%s” (%s)", r.Requirement.Title, r.Requirement.Source)
	rule := "simple acceptance"
	if r.Requirement.Rule.Guarded {
		rule = fmt.Sprintf("guarded acceptance with a guard band of %.3g times the expanded uncertainty", float64(r.Requirement.Rule.Guard))
	}
	switch r.State {
	case Demonstrated:
		return fmt.Sprintf("The test field met the requirement %s in every range, polarization and position that it asks for, by the decision rule of %s.", requirement, rule)
	case DemonstratedWithDeviations:
		return fmt.Sprintf("The test field met the requirement %s in every range, polarization and position that it asks for, but for the accepted deviations in section 9, by the decision rule of %s.", requirement, rule)
	default:
		return fmt.Sprintf("It was not demonstrated that the test field met the requirement %s: it is shown for %d of %d combinations of range, polarization and position, by the decision rule of %s.",
			requirement, met, len(r.Cells), rule)
	}
}

// behaviour says in one sentence what the article did. It speaks only of cells
// that are met: elsewhere the field was not shown, so silence proves nothing. A
// threshold below the limit means that the article did not withstand the field,
// whatever the sheet says of it.
func behaviour(r *Report) string {
	below, unknown := 0, 0
	for _, e := range r.Events {
		switch {
		case e.BelowLimit:
			below++
		case !quantity.Defined(e.Threshold):
			unknown++
		}
	}
	switch n := len(r.Events); {
	case below > 0:
		return fmt.Sprintf("The article did not withstand the required field: %s a threshold below the limit.", counted(below, "event has", "events have"))
	case unknown > 0:
		return fmt.Sprintf("The article was susceptible: %s a threshold that was not determined, so that it was not shown to withstand the required field.", counted(unknown, "event has", "events have"))
	case n > 0:
		return fmt.Sprintf("Susceptibility of the article was observed %s, at thresholds that are not below the limit; see section 10.", counted(n, "time", "times"))
	case r.State != NotDemonstrated:
		return "No susceptibility of the article was observed over the whole required range."
	case anyShown(r):
		return "No susceptibility of the article was observed where the field was shown; of the rest nothing can be said."
	default:
		return "Nothing can be said of the article's behaviour, because the field was shown nowhere."
	}
}

func anyShown(r *Report) bool {
	for i := range r.Cells {
		if s := r.Cells[i].State; s == Met || s == MetWithDeviations {
			return true
		}
	}
	return false
}

func counted(n int, one, many string) string {
	if n == 1 {
		return "one " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

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
