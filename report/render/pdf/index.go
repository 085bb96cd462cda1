package pdf

import (
	"strings"

	"fieldheld/report/render/layout"
)

// indexed is one item that a report has to hold, and where it stands.
type indexed struct {
	clause, what string
	anchors      []string // where it stands
	items        []string // names of the items of the report that it depends on
}

// requiredOfReports are the items of ISO/IEC 17025:2017 on the content of reports.
var requiredOfReports = []indexed{
	{"7.8.2.1 a", "title", []string{"front"}, nil},
	{"7.8.2.1 b", "laboratory, name and address", []string{"front"}, []string{"laboratory"}},
	{"7.8.2.1 c", "place of the test", []string{"front", "setup"}, []string{"place"}},
	{"7.8.2.1 d", "identification on every page, end mark", []string{"front", "evidence"}, []string{"number"}},
	{"7.8.2.1 e", "customer and contact", []string{"front"}, []string{"customer"}},
	{"7.8.2.1 f", "method", []string{"requirement", "method"}, nil},
	{"7.8.2.1 g", "item: description, identity, condition", []string{"article"}, []string{"identity"}},
	{"7.8.2.1 h", "date of receipt", []string{"article"}, []string{"received"}},
	{"7.8.2.1 i", "dates of the test", []string{"front", "setup"}, nil},
	{"7.8.2.1 j", "date of issue", []string{"front"}, []string{"issued"}},
	{"7.8.2.1 k", "sampling", []string{"article"}, nil},
	{"7.8.2.1 l", "results relate to the items tested", []string{"contents", "safety"}, nil},
	{"7.8.2.1 m", "results with their units", []string{"results", "steps"}, nil},
	{"7.8.2.1 n", "additions, deviations, exclusions", []string{"requirement", "findings"}, nil},
	{"7.8.2.1 o", "who authorises the report", []string{"front"}, []string{"authorised by"}},
	{"7.8.2.1 p", "results from external providers", []string{"contents"}, nil},
	{"7.8.2.2", "what the customer supplied is marked", []string{"contents", "article"}, nil},
	{"7.8.3.1 a", "conditions of the test", []string{"setup"}, []string{"environment", "chamber"}},
	{"7.8.3.1 b", "statement of conformity", []string{"front"}, nil},
	{"7.8.3.1 c", "uncertainty of the results", []string{"front", "method"}, []string{"uncertainty"}},
	{"7.8.3.1 d", "opinions and interpretations, marked", []string{"contents", "findings"}, nil},
	{"7.8.6.1", "decision rule and its risk", []string{"method"}, nil},
	{"7.8.6.2", "results, specification and rule of the statement", []string{"front", "requirement"}, nil},
	{"7.8.8", "amendments: what changed, why, what is replaced", []string{"contents"}, nil},
}

// requiredOfTests are the items of MIL-STD-461G, 11 December 2015.
var requiredOfTests = []indexed{
	{"4.3.6, 4.3.8", "supply networks, layout of cables", []string{"setup"}, nil},
	{"4.3.8.2", "bonding: verification and result", []string{"setup"}, nil},
	{"4.3.9", "modes of the article, monitoring", []string{"article"}, []string{"modes", "criteria"}},
	{"4.3.10.2", "software that held the level, verification", []string{"setup"}, nil},
	{"4.3.10.4.1", "steps and dwell", []string{"requirement", "steps"}, nil},
	{"4.3.10.4.2", "modulation, record of its verification", []string{"requirement", "setup"}, nil},
	{"4.3.10.4.3", "thresholds of susceptibility", []string{"behaviour"}, nil},
	{"4.3.11", "calibration of equipment", []string{"equipment"}, []string{"equipment"}},
	{"5.21.3.5 a", "frequency ranges and field strengths", []string{"results", "steps"}, nil},
	{"5.21.3.5 b", "correction factors of sensors", []string{"method", "corrections"}, nil},
	{"5.21.3.5 c", "thresholds with their frequencies", []string{"behaviour"}, nil},
	{"5.21.3.5 d", "setup with dimensions, photos or diagrams", []string{"article", "setup"}, []string{"photos", "setup"}},
}

// index sets where each item stands that documents on reports ask for.
func (b *book) index() {
	b.part("Where required items stand", "index", true)
	t := &layout.Table{Dense: true, Columns: []layout.Column{
		{Head: "Document"}, {Head: "Clause"}, {Head: "Item", Wraps: true}, {Head: "Where", Wraps: true},
	}}
	for _, document := range []struct {
		name  string
		items []indexed
		cited bool // else the program asks for the items, and no clause of a document that is not of the day
	}{{"ISO/IEC 17025:2017", requiredOfReports, true}, {"MIL-STD-461G", requiredOfTests, b.report.Cites("MIL-STD-461")}} {
		for _, item := range document.items {
			where, link := b.whereItem(item), item.anchors[0]
			name, clause := document.name, item.clause
			if !document.cited {
				name, clause = b.report.Program.Name, undefined
			}
			t.Add(layout.Row{Cells: []layout.Cell{{Text: name, Quiet: true}, {Text: clause}, {Text: item.what}, {Text: where, Link: link}}})
		}
	}
	b.Table(t)
}

// whereItem names the pages of an item, or says why it is not there.
func (b *book) whereItem(item indexed) string {
	for _, name := range item.items {
		if omitted, absent := b.report.Absent(name); omitted != nil {
			return "omitted: " + omitted.Reason
		} else if absent {
			return "missing: " + name
		}
	}
	var pages []string
	for _, anchor := range item.anchors {
		pages = append(pages, b.pageText(anchor))
	}
	return strings.Join(pages, ", ")
}
