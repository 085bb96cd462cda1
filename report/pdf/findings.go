package pdf

import (
	"fmt"
	"strings"

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

func findingName(i int) string { return fmt.Sprintf("F%d", i+1) }

// evidenceText says where a finding can be seen.
func evidenceText(f *report.Finding) string {
	var places []string
	for _, e := range f.Evidence {
		place := e.File
		if e.Sheet != "" {
			place += ", sheet " + e.Sheet
		}
		switch {
		case e.First > 0 && e.Last > e.First:
			place += fmt.Sprintf(", rows %d–%d", e.First, e.Last)
		case e.First > 0:
			place += fmt.Sprintf(", row %d", e.First)
		}
		places = append(places, place)
	}
	if len(places) == 0 {
		return undefined
	}
	return strings.Join(places, "\n")
}

// whereText says which part of the day a finding concerns.
func whereText(f *report.Finding) string {
	position := ""
	if f.Position > 0 {
		position = fmt.Sprintf("position %d", f.Position)
	}
	run := prefixed("run ", f.Run)
	frequency := frequencies(f.From, f.To)
	if frequency == undefined {
		frequency = ""
	}
	text := list("\n", frequency, list(", ", run, f.Polarization, position))
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
		{head: "No."}, {head: "Check"}, {head: "Where", wraps: true}, {head: "What was found, what it may mean", wraps: true},
		{head: "Evidence", wraps: true}, {head: "State", wraps: true},
	}}
	for i := range b.report.Findings {
		f := &b.report.Findings[i]
		state := string(f.State)
		if f.Deviation > 0 {
			state += fmt.Sprintf(",\ndeviation %d", f.Deviation)
		}
		t.add(row{anchor: findingAnchor(i), cells: []cell{
			{text: findingName(i)}, {text: f.Check}, {text: whereText(f), link: visitAnchor(f.Visit)}, {text: list("\n", f.Message, f.Meaning)},
			{text: evidenceText(f)}, {text: state, bold: f.State == report.Open},
		}})
	}
	b.table(t)
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
		var covered []string
		for k := range b.report.Findings {
			if b.report.Findings[k].Deviation == i+1 {
				covered = append(covered, findingName(k))
			}
		}
		span := frequencies(d.From, d.To)
		if span == undefined {
			span = "all frequencies"
		}
		t.add(texts(fmt.Sprint(i+1), strings.Join(d.Covers, ", "), list(", ", span, prefixed("run ", d.Run)), d.Reason, d.AgreedBy,
			orNone(strings.Join(covered, ", "))))
	}
	b.table(t)
}

// repeatedTable sets every visit of the steps that were visited more than once.
func (b *book) repeatedTable() {
	b.part("Repeated visits", "repeated", false)
	t := &table{columns: []column{
		{head: "Frequency", align: right}, {head: "Polarization"}, {head: "Position", align: right}, {head: "Run"}, {head: "Begun"},
		{head: "Sustained", unit: "V/m", align: decimal}, {head: "Margin", unit: "dB", align: decimal},
		{head: "Held", unit: "s", align: decimal}, {head: "State"},
	}}
	for i := range b.report.Cells {
		c := &b.report.Cells[i]
		for k := range c.Steps {
			if len(c.Steps[k].Visits) < 2 {
				continue
			}
			for _, v := range c.Steps[k].Visits {
				t.add(b.repeatedRow(c, v))
			}
		}
	}
	if len(t.rows) == 0 {
		b.paragraph("None: every step was visited once.")
		return
	}
	const start = 80
	b.reserve(start)
	b.paragraph("The best visit of a step gives its state. The others are kept, here and in appendix A.")
	b.table(t)
}

func (b *book) repeatedRow(c *report.Cell, v *report.Visit) row {
	return row{cells: []cell{
		{text: frequency(v.Frequency())}, {text: c.Polarization}, {text: fmt.Sprint(c.Position)}, {text: b.report.Runs[v.Run].ID},
		{text: moment(b.inZone(v.Record.Start.UTC()))},
		{text: fixedPoint(float64(v.Sustained), fieldDecimals(v.Sustained, v.Lowest))},
		{text: decibels(float64(v.Margin), b.leastMargin())}, {text: heldText(v.Held, v.Required)}, stateCell(v.State),
	}}
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
		t.add(texts(g.first.Polarization, fmt.Sprint(g.first.Position), g.first.Why, strings.Join(g.frequencies, ", "), fmt.Sprint(len(g.frequencies))))
	}
	b.table(t)
}
