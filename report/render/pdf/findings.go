package pdf

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// findings sets every finding, what was accepted and by whom, what was repeated
// and what is to be repeated.
func (b *book) findings() {
	b.section("9", "Findings and deviations", "findings")
	b.findingTable()
	b.deviationTable()
	b.repeatedTable()
	b.repeatList()
	b.otherRows()
}

// evidenceText says where something can be seen.
func evidenceText(evidence []report.Evidence) string {
	var places []string
	for _, e := range evidence {
		places = append(places, e.String())
	}
	if len(places) == 0 {
		return undefined
	}
	return strings.Join(places, "\n")
}

// groupText says what was found: of several findings that are read as one, how
// many there are and what the first of them says.
func groupText(f *report.Finding, g *report.FindingGroup) string {
	if n := len(g.Findings); n > 1 {
		at := ""
		if f.From != g.From || f.To != g.To {
			at = ", at " + frequencies(f.From, f.To)
		}
		return fmt.Sprintf("%d of one kind. The first%s: %s", n, at, f.Message())
	}
	return f.Message()
}

// followingText says what follows from a clock and has no row of its own.
func (b *book) followingText(g *report.FindingGroup) string {
	return prefixed("What follows from it as the times stand is not listed again: ", b.report.Following(g))
}

// whereText says which part of the day findings concern.
func whereText(f *report.Finding, g *report.FindingGroup) string {
	position := ""
	if f.Position > 0 {
		position = fmt.Sprintf("position %d", f.Position)
	}
	run := prefixed("run ", f.Run)
	frequency := frequencies(g.From, g.To)
	if frequency == undefined {
		frequency = ""
	}
	text := list("\n", frequency, list(", ", run, string(f.Polarization), position))
	if text == "" {
		return "the day"
	}
	return text
}

func (b *book) findingTable() {
	b.part("All findings", "all findings", false)
	if len(b.report.Findings) == 0 {
		b.Paragraph("There is no finding: every check of the day passed without a remark.")
		return
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "No."}, {Head: "Check"}, {Head: "Where", Wraps: true}, {Head: "What was found", Wraps: true},
		{Head: "Evidence", Wraps: true}, {Head: "State", Wraps: true},
	}}
	groups := b.report.GroupFindings(b.report.AllFindings())
	for i := range groups {
		g := &groups[i]
		f := &b.report.Findings[g.First()]
		state := string(f.State)
		if f.Deviation > 0 {
			state += fmt.Sprintf(",\ndeviation %d", f.Deviation)
		}
		open := b.report.OpenFollowing(g)
		if open > 0 {
			state += fmt.Sprintf(",\n%d open\nfollow", open)
		}
		t.Add(layout.Row{Anchor: findingAnchor(g.First()), Cells: []layout.Cell{
			{Text: g.Name()}, {Text: f.Check}, {Text: whereText(f, g), Link: visitAnchor(f.Visit)}, {Text: layout.JoinUnits(list("\n", groupText(f, g), prefixed("Interpretation: ", f.Meaning()), b.followingText(g)))},
			{Text: evidenceText(g.Evidence)}, {Text: state, Bold: f.State == report.Open || open > 0},
		}})
	}
	b.Table(t)
	b.Note("What was found is a result of the evaluation. An interpretation says what it may mean and is none (ISO/IEC 17025:2017, 7.8.7).")
}

// deviationTable sets the deviations from the method, with reason and agreement.
func (b *book) deviationTable() {
	b.part("Deviations", "deviations", false)
	deviations := b.report.Sheet.Deviations
	if len(deviations) == 0 {
		b.Paragraph("None.")
		return
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "No.", Align: layout.Right}, {Head: "Covers", Wraps: true}, {Head: "Where", Wraps: true}, {Head: "Reason", Wraps: true},
		{Head: "Agreed by", Wraps: true}, {Head: "Findings", Wraps: true},
	}}
	for i, d := range deviations {
		var names []string
		for _, g := range b.report.CoveredBy(i + 1) {
			names = append(names, g.Name())
		}
		span := frequencies(d.From, d.To)
		if span == undefined {
			span = "all frequencies"
		}
		t.Add(layout.Texts(fmt.Sprint(i+1), strings.Join(d.Covers, ", "), list(", ", span, prefixed("run ", d.Run), leastAccepted(d.LevelMin)), d.Reason, d.AgreedBy,
			orNone(strings.Join(names, ", "))))
	}
	b.Table(t)
}

// leastAccepted says below which level a deviation accepts nothing.
func leastAccepted(level quantity.FieldStrength) string {
	if !quantity.Defined(level) {
		return ""
	}
	return "at least " + level.String()
}

// repeatList sets what has to be run again before the day is demonstrated.
func (b *book) repeatList() {
	b.part("To be repeated", "repeat", false)
	if len(b.report.Repeat) == 0 {
		b.Paragraph("Nothing.")
		return
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Polarization"}, {Head: "Position", Align: layout.Right}, {Head: "Why"}, {Head: "Frequencies", Wraps: true},
		{Head: "Number", Align: layout.Right},
	}}
	for _, g := range b.report.RepeatGroups() {
		list := make([]string, len(g.Frequencies))
		for i, f := range g.Frequencies {
			list[i] = frequency(f)
		}
		t.Add(layout.Texts(string(g.Polarization), fmt.Sprint(g.Position), g.Why, strings.Join(list, ", "), fmt.Sprint(len(list))))
	}
	b.Table(t)
}
