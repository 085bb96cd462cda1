package pdf

import (
	"fmt"
	"strings"

	"fieldheld/charts"
	"fieldheld/report/render/layout"
)

// evidence sets appendix C: every input file, the program, and how the report
// can be checked. Its last line is the end mark.
func (b *book) evidence() {
	b.section("C", "Evidence", "evidence")
	zone := zoneOf(b.report.FirstTest)
	t := &layout.Table{Columns: []layout.Column{
		{Head: "File, SHA-256", Wraps: true}, {Head: "Role", Wraps: true}, {Head: "Size", Unit: "bytes", Align: layout.Right},
		{Head: "Rows\nread", Align: layout.Right}, {Head: "Rows\nnot read", Align: layout.Right},
		{Head: "First time", Unit: zone, Wraps: true}, {Head: "Last time", Unit: zone, Wraps: true},
	}}
	for _, f := range b.report.Files {
		read, unread := undefined, undefined
		if f.RowsRead+f.RowsUnread > 0 {
			read, unread = fmt.Sprint(f.RowsRead), fmt.Sprint(f.RowsUnread)
		}
		t.Add(layout.Row{Note: f.SHA256, Cells: []layout.Cell{{Text: f.Path}, {Text: strings.Join(f.Roles, ", ")}, {Text: fmt.Sprint(f.Size)},
			{Text: read}, {Text: unread, Bold: f.RowsUnread > 0}, {Text: momentIn(f.First, zone)}, {Text: momentIn(f.Last, zone)}}})
	}
	b.Introduce(2*layout.BodyStyle.Leading+6, t)
	b.Paragraph("The evaluation rests on these files alone. The manifest lists the digest of each in the order of their paths; its own digest stands on page 1.")
	b.Table(t)
	b.Heading(layout.Heading{Level: 2, Text: "The program"})
	const ending = 241 // program, check and end mark stay together
	b.Reserve(ending)
	p := b.report.Program
	setFacts(b.Flow, []fact{
		{label: "Program", value: list(" ", p.Name, p.Version)},
		{label: "Revision", value: p.Revision},
		{label: "Rules of evaluation", value: p.RuleSet},
		{label: "Digest of the rules", value: p.RuleDigest},
		{label: "Time zone database", value: p.Zones},
		{label: "Digest of the manifest", value: b.report.ManifestDigest},
	})
	b.Heading(layout.Heading{Level: 2, Text: "How to check this report"})
	if b.attachments.Note != "" {
		b.Paragraph(b.attachments.Note)
	}
	b.Paragraph(fmt.Sprintf("“%s audit REPORT.pdf” takes the evidence, compares every digest, evaluates again and says whether the report holds. "+
		"Without the program, “sha256sum -c” checks the files against the manifest, and “%s rules” prints the rules "+
		"by which every figure can be found again by hand.",
		p.Name, p.Name))
	b.endMark()
}

// endMark is the last line of the report.
func (b *book) endMark() {
	const space = 16
	b.Reserve(space + layout.BodyStyle.Leading)
	b.Y += space
	text := "End of report " + reportName(b.report)
	s := layout.BodyStyle.Bold()
	middle := b.Format.Width / 2
	width := b.Width(s, text)
	b.Tagged("P", func() { b.TextCentre(middle, b.Y+s.Size, s, text) })
	y := b.Y + s.Size*0.65
	b.Rule(b.Format.Left(), middle-width/2-10, y, 0.8, charts.Accent)
	b.Rule(middle+width/2+10, b.Format.Right(), y, 0.8, charts.Accent)
	b.Y += s.Leading
}
