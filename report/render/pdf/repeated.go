package pdf

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// repeatedTable tells every step that failed and was repeated as cause, action
// and result. A step that was only visited more than once, as at the edge of a
// band or in the search for a threshold, is no repeat of a failure.
func (b *book) repeatedTable() {
	b.part("Failed and repeated steps", "repeated", false)
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Frequency", Align: layout.Right}, {Head: "Cell", Wraps: true}, {Head: "What failed", Wraps: true}, {Head: "What was done", Wraps: true},
		{Head: "Result", Wraps: true}, {Head: "State"},
	}}
	repeated, again := b.report.RepeatedSteps()
	for i := range repeated {
		t.Add(b.repeatedRow(&repeated[i]))
	}
	if len(t.Rows) == 0 {
		b.Paragraph("None.")
	} else {
		b.Introduce(layout.BodyStyle.Leading+6, t)
		b.Paragraph("The best visit of a step gives its state. The others are kept, with their figures in appendix A.")
		b.Table(t)
	}
	if again > 0 {
		steps := "1 step was"
		if again > 1 {
			steps = fmt.Sprintf("%d steps were", again)
		}
		b.Note(steps + " visited more than once without a failure; every visit stands in appendix A.")
	}
}

func (b *book) repeatedRow(s *report.RepeatedStep) layout.Row {
	causes := make([]string, len(s.Failed))
	for i, failed := range s.Failed {
		reasons := list(", ", strings.Join(failed.Checks, ", "), b.marginOf(failed.Visit))
		causes[i] = b.visitText(failed.Visit) + prefixed(": ", reasons)
	}
	changes := make([]string, len(s.Changes))
	for i, change := range s.Changes {
		changes[i] = list(", ", change.Note, prefixed("by ", change.By))
	}
	for _, incident := range s.Incidents {
		changes = append(changes, list(": ", incident.What, incident.Done))
	}
	return layout.Row{Cells: []layout.Cell{
		{Text: frequency(s.Step.Frequency)}, {Text: fmt.Sprintf("%s, position %d", s.Cell.Polarization, s.Cell.Position)}, {Text: strings.Join(causes, "\n")},
		{Text: orNotStated(strings.Join(changes, "; "))}, {Text: b.visitText(s.Step.Best) + ", " + b.outcome(s.Step.Best)}, stateCell(s.Step.State),
	}}
}

// visitText names a visit by run and time.
func (b *book) visitText(v *report.Visit) string {
	at := b.inZone(v.Record.Start.UTC())
	begun := momentIn(at, zoneOf(b.report.FirstTest))
	if date(b.report.FirstTest) == date(b.report.LastTest) && zoneOf(at) == zoneOf(b.report.FirstTest) {
		begun = at.Format("15:04:05")
	}
	return fmt.Sprintf("%s, %s", b.report.Runs[v.Run].ID, begun)
}

func (b *book) outcome(v *report.Visit) string { return list(", ", v.State.String(), b.marginOf(v)) }

// marginOf is the margin of a visit in words; "" where it has none.
func (b *book) marginOf(v *report.Visit) string {
	if !quantity.Defined(v.Margin) {
		return ""
	}
	return "margin " + withUnit(decibels(float64(v.Margin), float64(b.report.AskedOf(v))), "dB")
}
