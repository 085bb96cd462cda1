package pdf

import (
	"fmt"

	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// annexes sets the table of annexes, and each that is a picture on a page of its own.
// What else goes with the report stays a file: pages of a foreign file have fonts,
// links and scripts of their own, for which nobody here can answer.
func (b *book) annexes() {
	list := b.report.Annexes
	if len(list) == 0 {
		return
	}
	const anchor = "annexes"
	b.Heading(layout.Heading{Level: 1, Text: "Annexes", Outline: "Annexes", Anchor: anchor, Listed: true})
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Annex", Align: layout.Right}, {Head: "Title, SHA-256", Wraps: true}, {Head: "File", Wraps: true}, {Head: "Kind"},
		{Head: "Pages", Align: layout.Right}, {Head: "Size", Unit: "bytes", Align: layout.Right}, {Head: "Where", Wraps: true},
	}}
	files := 0
	for i := range list {
		a := &list[i]
		pages, where, link := undefined, "kept beside this report", ""
		if a.Pages > 0 {
			pages = fmt.Sprint(a.Pages)
		}
		if name, carried := b.attachments.Carried[a.File]; carried {
			where = "attached as " + name
		}
		if a.Shown() {
			where, link = b.pageText(annexAnchor(i)), annexAnchor(i)
		} else {
			files++
		}
		t.Add(layout.Row{Note: a.SHA256, Cells: []layout.Cell{{Text: fmt.Sprint(i + 1)}, {Text: a.Title}, {Text: a.File}, {Text: string(a.Kind)},
			{Text: pages}, {Text: fmt.Sprint(a.Size)}, {Text: where, Link: link}}})
	}
	b.Table(t)
	if files > 0 {
		b.Note("PDF files and drawings are not shown on pages of this report; they go with it as files, byte for byte, and the audit compares their digests.")
	}
	for i := range list {
		if list[i].Shown() {
			b.annexPage(i, &list[i])
		}
	}
}

// annexPage sets an annex that is a picture.
func (b *book) annexPage(i int, a *report.Annex) {
	title := fmt.Sprintf("Annex %d  %s", i+1, a.Title)
	heading := layout.Heading{Level: 2, Text: title, Outline: title, Anchor: annexAnchor(i), Listed: true}
	p, err := b.picture(a.File, fmt.Sprintf("Annex%d", i+1))
	if err != nil {
		b.Heading(heading)
		b.Paragraph(fmt.Sprintf("Not shown, %s cannot be read (%v).", a.File, err))
		return
	}
	b.Plate(p, heading, clean(title))
}

func annexAnchor(i int) string { return fmt.Sprintf("annex/%d", i+1) }

// witnesses sets who watched the test. Where nobody is named, the facts above say so.
func (b *book) witnesses() {
	list := b.report.Sheet.Witnesses
	if len(list) == 0 {
		return
	}
	b.Heading(layout.Heading{Level: 3, Text: "Witnesses of the test"})
	t := &layout.Table{Columns: []layout.Column{{Head: "Name", Wraps: true}, {Head: "Organisation", Wraps: true}, {Head: "Function", Wraps: true}, {Head: "Present", Wraps: true}}}
	for i := range list {
		t.Add(layout.Texts(list[i].Name, orNotStated(list[i].Organisation), orNotStated(list[i].Function), orNotStated(b.report.PresenceOf(&list[i]))))
	}
	b.Table(t)
}
