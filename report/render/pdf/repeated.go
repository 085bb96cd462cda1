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
	again := 0
	for i := range b.report.Cells {
		c := &b.report.Cells[i]
		for k := range c.Steps {
			step := &c.Steps[k]
			switch failed := failedBefore(step); {
			case len(step.Visits) < 2:
			case len(failed) == 0:
				again++
			default:
				t.Add(b.repeatedRow(c, step, failed))
			}
		}
	}
	if len(t.Rows) == 0 {
		b.Paragraph("None.")
	} else {
		const start = 80
		b.Reserve(start)
		b.Paragraph("The best visit of a step gives its state. The others are kept, with their figures in appendix A.")
		b.Table(t)
	}
	if again > 0 {
		b.Note(fmt.Sprintf("%s visited more than once without a failure; every visit stands in appendix A.", plural(again, "step was")))
	}
}

// failedBefore returns the visits of a step that failed, apart from the one that
// gives the step its state.
func failedBefore(step *report.Step) []*report.Visit {
	var failed []*report.Visit
	for _, v := range step.Visits {
		if v != step.Best && v.State != report.Met {
			failed = append(failed, v)
		}
	}
	return failed
}

func (b *book) repeatedRow(c *report.Cell, step *report.Step, failed []*report.Visit) layout.Row {
	causes := make([]string, len(failed))
	for i, v := range failed {
		causes[i] = b.visitText(v) + prefixed(": ", b.reasons(v))
	}
	state := stateCell(step.State)
	return layout.Row{Cells: []layout.Cell{
		{Text: frequency(step.Frequency)}, {Text: fmt.Sprintf("%s, position %d", c.Polarization, c.Position)}, {Text: strings.Join(causes, "\n")},
		{Text: b.actions(step, failed)}, {Text: b.visitText(step.Best) + ", " + b.outcome(step.Best)}, state,
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

// reasons names the checks that found something at a visit, with its margin.
func (b *book) reasons(v *report.Visit) string {
	var checks []string
	ref := report.VisitRef{Run: v.Run + 1, Visit: v.Index + 1}
	for i := range b.report.Findings {
		if f := &b.report.Findings[i]; f.Visit == ref && f.Deviation == 0 {
			checks = append(checks, f.Check)
		}
	}
	return list(", ", strings.Join(checks, ", "), b.marginOf(v))
}

func (b *book) outcome(v *report.Visit) string { return list(", ", v.State.String(), b.marginOf(v)) }

// marginOf is the margin of a visit in words; "" where it has none.
func (b *book) marginOf(v *report.Visit) string {
	if !quantity.Defined(v.Margin) {
		return ""
	}
	return "margin " + withUnit(decibels(float64(v.Margin), b.leastMargin()), "dB")
}

// actions says what the job sheet records as done at the frequency of a step: a
// setting changed by hand in the tuning of one of the runs.
func (b *book) actions(step *report.Step, failed []*report.Visit) string {
	tunings := map[string]bool{}
	for _, v := range append([]*report.Visit{step.Best}, failed...) {
		tunings[b.report.Runs[v.Run].Sheet.Tuning] = true
	}
	var done []string
	for _, tuning := range b.report.Sheet.Tunings {
		if tuning.Name == "" || !tunings[tuning.Name] {
			continue
		}
		for _, change := range tuning.Changes {
			near := step.Best.Resolution + quantity.Slack*step.Frequency
			if change.Frequency.Within(step.Frequency-near, step.Frequency+near) {
				done = append(done, list(", ", change.Note, prefixed("by ", change.By)))
			}
		}
	}
	return orNotStated(strings.Join(done, "; "))
}
