package pdf

import (
	"fmt"

	"fieldheld/charts"
	"fieldheld/report"
	"fieldheld/templates/wording"
)

// contents sets what this report says: what it lacks, its contents, its counts
// of findings, its revisions and the statements that hold for every report.
func (b *book) contents() {
	if b.page == 1 { // the front page stands alone where it is one page
		b.newPage()
	}
	b.section("2", "What this report says", "contents")
	b.lacking()
	b.contentsList()
	b.findingCounts()
	b.revisions()
	b.heading(head{level: 2, text: "Statements"})
	b.blocks(wording.Statements())
	b.agreed()
	b.index()
}

// agreed sets what was agreed and who took part, and the laboratory's conclusion.
func (b *book) agreed() {
	s := b.report.Sheet.Report
	const whole = 100 // heading and facts stay together
	b.reserve(whole)
	b.heading(head{level: 2, text: "Procedure and parties"})
	b.facts([]fact{
		{label: "Test procedure", value: s.Procedure},
		{label: "Witness", value: s.Witness},
		{label: "Results from external providers", value: s.External},
		{label: "Conclusion", value: s.Conclusion},
	})
	if s.Conclusion != "" {
		b.note("The conclusion is an opinion of the laboratory (ISO/IEC 17025:2017, 7.8.7) and no result of the evaluation.")
	}
}

// section sets the head of a section with an entry in outline and contents.
func (b *book) section(number, title, anchor string) {
	b.heading(head{level: 1, text: number + "\u2002" + title, bookmark: number + "  " + title, anchor: anchor, listed: true})
}

// part sets the head of a part of a section with an entry in the outline, and
// in the contents where it is listed.
func (b *book) part(title, anchor string, listed bool) {
	b.heading(head{level: 2, text: title, bookmark: title, anchor: anchor, listed: listed})
}

// blocks sets the paragraphs and lists of a fixed text.
func (f *flow) blocks(list []wording.Block) {
	for _, block := range list {
		if block.Items != nil {
			f.bullets(block.Items)
		} else {
			f.paragraph(block.Paragraph)
		}
	}
}

// lacking lists what makes the report a draft, and what was left out on purpose.
func (b *book) lacking() {
	if b.report.Draft() {
		b.heading(head{level: 2, text: "This report is a DRAFT. It lacks:"})
		b.bullets(b.report.Missing)
	}
	if len(b.report.Omitted) > 0 {
		b.heading(head{level: 2, text: "Left out for a stated reason"})
		t := &table{columns: []column{{head: "Item"}, {head: "Reason", wraps: true}}}
		for _, o := range b.report.Omitted {
			t.add(texts(o.Item, o.Reason))
		}
		b.table(t)
	}
}

// contentsList sets the contents. It takes its entries from the layout before.
func (b *book) contentsList() {
	b.heading(head{level: 2, text: "Contents"})
	entries := b.earlier.contents
	const most = 60 // beyond that the parts are left to the outline
	if len(entries) > most {
		entries = nil
		for _, e := range b.earlier.contents {
			if e.level == 1 {
				entries = append(entries, e)
			}
		}
	}
	for i, e := range entries {
		s, indent, pitch := textStyle, 0.0, textStyle.leading
		if e.level > 1 {
			s, indent, pitch = tableStyle, 17, 11.5
		} else if i > 0 && entries[i-1].level > 1 {
			b.y += 3
		}
		b.reserve(pitch)
		x, y := b.format.left()+indent, b.y+textStyle.size
		page := fmt.Sprint(b.pageOf(e.anchor))
		title := b.types.fit(s, e.text, b.format.body()-indent-30)
		end := x + b.text(x, y, s, title)
		b.textRight(b.format.right(), y, s, page)
		b.rule(end+6, b.format.right()-b.types.width(s, page)-6, y, 0.25, charts.Grid)
		b.link(b.format.left(), b.y, b.format.body(), pitch, e.anchor)
		b.y += pitch
	}
	b.y += 8
}

// findingCounts sets how many findings there are of each check and state.
func (b *book) findingCounts() {
	b.heading(head{level: 2, text: "Findings"})
	checks, counts := countFindings(b.report.Findings)
	if len(checks) == 0 {
		b.paragraph("There is no finding.")
		return
	}
	states := []report.Finding{{State: report.Open}, {State: report.Accepted}, {State: report.Note}}
	t := &table{narrow: true, columns: []column{
		{head: "Check"}, {head: "Open", align: right}, {head: "Accepted", align: right}, {head: "Notes", align: right},
		{head: "All", align: right},
	}}
	total := make([]int, len(states)+1)
	for _, check := range checks {
		r := row{cells: []cell{{text: check}}}
		sum := 0
		for i, s := range states {
			n := counts[check][string(s.State)]
			sum += n
			total[i] += n
			r.cells = append(r.cells, cell{text: count(n)})
		}
		total[len(states)] += sum
		r.cells = append(r.cells, cell{text: count(sum)})
		t.add(r)
	}
	last := row{cells: []cell{{text: "all checks", bold: true}}}
	for _, n := range total {
		last.cells = append(last.cells, cell{text: count(n), bold: true})
	}
	t.add(last)
	b.table(t)
	b.note("An open finding keeps its step, cell or day from being met. An accepted one is covered by an agreed deviation. A note decides nothing.")
}

func count(n int) string {
	if n == 0 {
		return undefined
	}
	return fmt.Sprint(n)
}

// revisions sets the table of revisions.
func (b *book) revisions() {
	b.heading(head{level: 2, text: "Revisions"})
	s := b.report.Sheet.Report
	t := &table{columns: []column{
		{head: "Revision", align: right}, {head: "Issued"}, {head: "What changed and why", wraps: true},
		{head: "By", wraps: true}, {head: "Replaces", wraps: true},
	}}
	if s.Revision == 0 {
		t.add(texts("0", date(s.Issued), "First issue", undefined, "None"))
	} else {
		t.add(texts(fmt.Sprint(s.Revision), date(s.Issued), orNotStated(s.Reason), orNotStated(s.ChangedBy), orNotStated(s.Replaces)))
	}
	b.table(t)
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
	b.heading(head{level: 2, text: "Changes against the report that is replaced"})
	t := &table{columns: []column{{head: "What", wraps: true}, {head: "Before", wraps: true}, {head: "Now", wraps: true}}}
	for _, c := range list[:min(len(list), mostChanges)] {
		t.add(texts(c.What, orUndefined(c.Before), orUndefined(c.After)))
	}
	b.table(t)
	if more := len(list) - mostChanges; more > 0 {
		b.note(fmt.Sprintf("%d more changes are not listed here; “fieldheld compare” lists every one.", more))
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
