package pdf

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// findings sets every finding, what was accepted and by whom, what was repeated
// and what is to be repeated.
func (b *book) findings() {
	b.section("9", "Findings and deviations", "findings")
	b.findingTable()
	b.deviationTable()
	b.repeatedTable()
	b.repeatList()
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
	return prefixed("As the times stand there follow, and are not listed again, ", b.report.Following(g))
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
		b.paragraph("There is no finding: every check of the day passed without a remark.")
		return
	}
	t := &table{columns: []column{
		{head: "No."}, {head: "Check"}, {head: "Where", wraps: true}, {head: "What was found", wraps: true},
		{head: "Evidence", wraps: true}, {head: "State", wraps: true},
	}}
	groups := b.report.GroupFindings(b.report.AllFindings())
	for i := range groups {
		g := &groups[i]
		f := &b.report.Findings[g.First()]
		state := string(f.State)
		if f.Deviation > 0 {
			state += fmt.Sprintf(",\ndeviation %d", f.Deviation)
		}
		t.add(row{anchor: findingAnchor(g.First()), cells: []cell{
			{text: g.Name()}, {text: f.Check}, {text: whereText(f, g), link: visitAnchor(f.Visit)}, {text: joined(list("\n", groupText(f, g), prefixed("Interpretation: ", f.Meaning()), b.followingText(g)))},
			{text: evidenceText(g.Evidence)}, {text: state, bold: f.State == report.Open},
		}})
	}
	b.table(t)
	b.note("What was found is a result of the evaluation. An interpretation says what it may mean and is none (ISO/IEC 17025:2017, 7.8.7).")
}

// deviationTable sets the deviations from the method, with reason and agreement.
func (b *book) deviationTable() {
	b.part("Deviations", "deviations", false)
	deviations := b.report.Sheet.Deviations
	if len(deviations) == 0 {
		b.paragraph("None.")
		return
	}
	t := &table{columns: []column{
		{head: "No.", align: right}, {head: "Covers", wraps: true}, {head: "Where", wraps: true}, {head: "Reason", wraps: true},
		{head: "Agreed by", wraps: true}, {head: "Findings", wraps: true},
	}}
	for i, d := range deviations {
		var covered []int
		for k := range b.report.Findings {
			if b.report.Findings[k].Deviation == i+1 {
				covered = append(covered, k)
			}
		}
		var names []string
		for _, g := range b.report.GroupFindings(covered) {
			names = append(names, g.Name())
		}
		span := frequencies(d.From, d.To)
		if span == undefined {
			span = "all frequencies"
		}
		t.add(texts(fmt.Sprint(i+1), strings.Join(d.Covers, ", "), list(", ", span, prefixed("run ", d.Run), leastAccepted(d.LevelMin)), d.Reason, d.AgreedBy,
			orNone(strings.Join(names, ", "))))
	}
	b.table(t)
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
		b.paragraph("Nothing.")
		return
	}
	t := &table{columns: []column{
		{head: "Polarization"}, {head: "Position", align: right}, {head: "Why"}, {head: "Frequencies", wraps: true},
		{head: "Number", align: right},
	}}
	type group struct {
		first       report.Repeat
		frequencies []string
	}
	var groups []*group
	for _, r := range b.report.Repeat {
		n := len(groups)
		if n == 0 || groups[n-1].first.Polarization != r.Polarization || groups[n-1].first.Position != r.Position || groups[n-1].first.Why != r.Why {
			groups = append(groups, &group{first: r})
			n++
		}
		groups[n-1].frequencies = append(groups[n-1].frequencies, frequency(r.Frequency))
	}
	for _, g := range groups {
		t.add(texts(string(g.first.Polarization), fmt.Sprint(g.first.Position), g.first.Why, strings.Join(g.frequencies, ", "), fmt.Sprint(len(g.frequencies))))
	}
	b.table(t)
}
