package pdf

import (
	"fmt"
	"strings"

	"fieldheld/charts"
)

// evidence sets appendix C: every input file, the program, and how the report
// can be checked. Its last line is the end mark.
func (b *book) evidence() {
	b.section("C", "Evidence", "evidence")
	b.paragraph("The evaluation rests on these files alone. The manifest lists the digest of each in the order of their paths; its own digest stands on page 1.")
	zone := zoneOf(b.report.FirstTest)
	t := &table{columns: []column{
		{head: "File, SHA-256", wraps: true}, {head: "Role", wraps: true}, {head: "Size", unit: "bytes", align: right},
		{head: "Rows\nread", align: right}, {head: "Rows\nnot read", align: right},
		{head: "First time", unit: zone, wraps: true}, {head: "Last time", unit: zone, wraps: true},
	}}
	for _, f := range b.report.Files {
		read, unread := undefined, undefined
		if f.RowsRead+f.RowsUnread > 0 {
			read, unread = fmt.Sprint(f.RowsRead), fmt.Sprint(f.RowsUnread)
		}
		t.add(row{note: f.SHA256, cells: []cell{{text: f.Path}, {text: strings.Join(f.Roles, ", ")}, {text: fmt.Sprint(f.Size)},
			{text: read}, {text: unread, bold: f.RowsUnread > 0}, {text: momentIn(f.First, zone)}, {text: momentIn(f.Last, zone)}}})
	}
	b.table(t)
	b.heading(head{level: 2, text: "The program"})
	const ending = 241 // program, check and end mark stay together
	b.reserve(ending)
	p := b.report.Program
	b.facts([]fact{
		{label: "Program", value: list(" ", p.Name, p.Version)},
		{label: "Revision", value: p.Revision},
		{label: "Rules of evaluation", value: p.RuleSet},
		{label: "Digest of the rules", value: p.RuleDigest},
		{label: "Time zone database", value: p.Zones},
		{label: "Digest of the manifest", value: b.report.ManifestDigest},
	})
	b.heading(head{level: 2, text: "How to check this report"})
	if b.attachments.Note != "" {
		b.paragraph(b.attachments.Note)
	}
	b.paragraph(fmt.Sprintf("“%s audit REPORT.pdf” takes the evidence, compares every digest, evaluates again and says whether the report holds. "+
		"Without the program, “sha256sum -c” checks the files against the manifest, and “%s rules” prints the rules "+
		"by which every figure can be found again by hand.",
		p.Name, p.Name))
	b.endMark()
}

// endMark is the last line of the report.
func (b *book) endMark() {
	const space = 16
	b.reserve(space + textStyle.leading)
	b.y += space
	text := "End of report " + reportName(b.report)
	s := textStyle.bold()
	middle := b.format.width / 2
	width := b.types.width(s, text)
	b.textCentre(middle, b.y+s.size, s, text)
	y := b.y + s.size*0.65
	b.rule(b.format.left(), middle-width/2-10, y, 0.8, charts.Accent)
	b.rule(middle+width/2+10, b.format.right(), y, 0.8, charts.Accent)
	b.y += s.leading
}
