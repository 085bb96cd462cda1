package pdf

import (
	"fmt"
	"math"
	"strconv"

	"fieldheld/ingest/quantity"
	"fieldheld/report/render/layout"
)

// otherRows sets, at the head of a page, the rows of the dwell records that are no
// test steps, so that whoever judges the report sees what was left out of it.
func (b *book) otherRows() {
	if b.report.OtherRows() == 0 {
		return
	}
	const begun = 100 // points of a page that may be used, so that a few lines have no page of their own
	b.Turn(begun)
	b.part("Rows that are no test steps", "other-rows", true)
	b.Paragraph("The laboratory says of these rows that they were searches, trials or aborted. They are no visits: they prove nothing, fail nothing, " +
		"and no step counts as repeated for them. The fields are what the logs show, corrected; they are held against no limit.")
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Run"}, {Head: "Purpose"}, {Head: "Frequency", Unit: "MHz", Align: layout.Decimal}, {Head: "From", Wraps: true}, {Head: "Time", Unit: "s", Align: layout.Decimal},
		{Head: "Level set", Wraps: true}, {Head: "Minimum", Unit: "V/m", Align: layout.Decimal}, {Head: "Maximum", Unit: "V/m", Align: layout.Decimal},
		{Head: "Forward", Unit: "W", Align: layout.Decimal}, {Head: "Row of the dwell record", Wraps: true},
	}}
	for i := range b.report.Runs {
		for _, v := range b.report.Runs[i].OtherRows {
			start := b.inZone(v.Record.Start.UTC())
			r := layout.Texts(b.report.Runs[i].ID, string(v.Record.Purpose), strconv.FormatFloat(math.Round(float64(v.Frequency()))/1e6, 'f', -1, 64), momentIn(start, zoneOf(b.report.FirstTest)),
				fixedPoint(v.Record.End.Sub(v.Record.Start).Seconds(), 1), orDash(v.Record.LevelSet), fixedPoint(float64(v.Minimum), 1), fixedPoint(float64(v.Maximum), 1),
				fixedPoint(float64(v.Power.Forward), 1), fmt.Sprintf("%s, row %s", v.DwellFile, strconv.Itoa(v.Record.Row)))
			if seen := v.Record.Observation; seen != "" {
				r.Note = "Observed: " + seen
			}
			t.Add(r)
		}
	}
	b.Table(t)
}

// noStep says of a run that none of its rows are test steps; "" where some are.
func noStep(purpose quantity.Purpose) string {
	if purpose.IsStep() {
		return ""
	}
	return "Its rows are no test steps: " + string(purpose) + "."
}
