package pdf

import (
	"fmt"

	"fieldheld/report/render/layout"
	"fieldheld/templates/wording"
)

// contents sets what this report says: what it lacks, its contents, its counts
// of findings, its revisions and the statements that hold for every report.
func (b *book) contents() {
	if b.Folio() == 1 { // the front page stands alone where it is one page
		b.NewPage()
	}
	b.section("2", "What this report says", "contents")
	b.lacking()
	b.Heading(layout.Heading{Level: 2, Text: "Contents"})
	b.Contents()
	b.findingCounts()
	b.revisions()
	b.Heading(layout.Heading{Level: 2, Text: "Statements"})
	setBlocks(b.Flow, wording.Statements())
	b.agreed()
	b.index()
}

// agreed sets what was agreed and who took part, and the laboratory's conclusion.
func (b *book) agreed() {
	s := b.report.Sheet.Report
	const whole = 100 // heading and facts stay together
	b.Reserve(whole)
	b.Heading(layout.Heading{Level: 2, Text: "Procedure and parties"})
	witness := s.Witness
	if len(b.report.Sheet.Witnesses) > 0 {
		witness = list("; ", witness, "listed below")
	}
	setFacts(b.Flow, []fact{
		{label: "Test procedure", value: s.Procedure},
		{label: "Witness", value: witness},
		{label: "Results from external providers", value: s.External},
		{label: "Conclusion", value: s.Conclusion},
	})
	b.witnesses()
	if s.Conclusion != "" {
		b.Note("The conclusion is an opinion of the laboratory (ISO/IEC 17025:2017, 7.8.7) and no result of the evaluation.")
	}
}

// section sets the head of a section with an entry in outline and contents.
func (b *book) section(number, title, anchor string) {
	b.Heading(layout.Heading{Level: 1, Text: number + "\u2002" + title, Outline: number + "  " + title, Anchor: anchor, Listed: true})
}

// part sets the head of a part of a section with an entry in the outline, and
// in the contents where it is listed.
func (b *book) part(title, anchor string, listed bool) {
	b.Heading(layout.Heading{Level: 2, Text: title, Outline: title, Anchor: anchor, Listed: listed})
}

// setBlocks sets the paragraphs and lists of a fixed text.
func setBlocks(f *layout.Flow, list []wording.Block) {
	for _, block := range list {
		if block.Items != nil {
			f.List(block.Items)
		} else {
			f.Paragraph(block.Paragraph)
		}
	}
}

// lacking lists what makes the report a draft, and what was left out on purpose.
func (b *book) lacking() {
	if b.report.Draft() {
		b.Heading(layout.Heading{Level: 2, Text: "This report is a DRAFT. It lacks:"})
		b.List(b.report.Missing)
	}
	if len(b.report.Omitted) > 0 {
		b.Heading(layout.Heading{Level: 2, Text: "Left out for a stated reason"})
		t := &layout.Table{Columns: []layout.Column{{Head: "Item"}, {Head: "Reason", Wraps: true}}}
		for _, o := range b.report.Omitted {
			t.Add(layout.Texts(o.Item, o.Reason))
		}
		b.Table(t)
	}
}

// findingCounts sets how many findings there are of each check and state.
func (b *book) findingCounts() {
	b.Heading(layout.Heading{Level: 2, Text: "Findings"})
	checks, all := b.report.CountFindings()
	if len(checks) == 0 {
		b.Paragraph("There is no finding.")
		return
	}
	t := &layout.Table{Narrow: true, Columns: []layout.Column{
		{Head: "Check"}, {Head: "Open", Align: layout.Right}, {Head: "Accepted", Align: layout.Right}, {Head: "Notes", Align: layout.Right},
		{Head: "All", Align: layout.Right},
	}}
	for _, c := range checks {
		t.Add(layout.Texts(c.Check, count(c.Open), count(c.Accepted), count(c.Notes), count(c.All())))
	}
	last := layout.Texts("all checks", count(all.Open), count(all.Accepted), count(all.Notes), count(all.All()))
	for k := range last.Cells {
		last.Cells[k].Bold = true
	}
	t.Add(last)
	b.Table(t)
	b.Note("An open finding keeps its step, cell or day from being met. An accepted one is covered by an agreed deviation. A note decides nothing.")
}

func count(n int) string {
	if n == 0 {
		return undefined
	}
	return fmt.Sprint(n)
}

// revisions sets the table of revisions.
func (b *book) revisions() {
	b.Heading(layout.Heading{Level: 2, Text: "Revisions"})
	s := b.report.Sheet.Report
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Revision", Align: layout.Right}, {Head: "Issued"}, {Head: "What changed and why", Wraps: true},
		{Head: "By", Wraps: true}, {Head: "Replaces", Wraps: true},
	}}
	if s.Revision == 0 {
		t.Add(layout.Texts("0", date(s.Issued), "First issue", undefined, "None"))
	} else {
		t.Add(layout.Texts(fmt.Sprint(s.Revision), date(s.Issued), orNotStated(s.Reason), orNotStated(s.ChangedBy), orNotStated(s.Replaces)))
	}
	b.Table(t)
	b.changes()
}

// mostChanges is how many changes the report lists; compare lists every one.
const mostChanges = 60

// changes sets the table of what a revision changes.
func (b *book) changes() {
	list := b.report.Changes
	if len(list) == 0 {
		return
	}
	b.Heading(layout.Heading{Level: 2, Text: "Changes against the report that is replaced"})
	t := &layout.Table{Columns: []layout.Column{{Head: "What", Wraps: true}, {Head: "Before", Wraps: true}, {Head: "Now", Wraps: true}}}
	for _, c := range list[:min(len(list), mostChanges)] {
		t.Add(layout.Texts(c.What, orUndefined(c.Before), orUndefined(c.After)))
	}
	b.Table(t)
	if more := len(list) - mostChanges; more > 0 {
		b.Note(fmt.Sprintf("%d more changes are not listed here; “fieldheld compare” lists every one.", more))
	}
}

func orUndefined(s string) string {
	if s == "" {
		return undefined
	}
	return s
}

func orNotStated(s string) string {
	if s == "" {
		return notStated
	}
	return s
}
