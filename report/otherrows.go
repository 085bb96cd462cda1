package report

import (
	"fmt"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

// OtherRows counts the rows of dwell records that are no test steps.
func (r *Report) OtherRows() int {
	n := 0
	for i := range r.Runs {
		n += len(r.Runs[i].OtherRows)
	}
	return n
}

// NotSteps says in one sentence how many rows of the dwell records are no test steps
// and what they were made for; "" where there are none.
func (r *Report) NotSteps() string {
	var rows []*evaluate.Visit
	for i := range r.Runs {
		rows = append(rows, r.Runs[i].OtherRows...)
	}
	switch n := len(rows); n {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("1 row of the dwell records was no test step (%s) and proves nothing; the report lists it.", rows[0].Record.Purpose)
	default:
		return fmt.Sprintf("%d rows of the dwell records were no test steps (%s) and prove nothing; the report lists them.", n, evaluate.PurposesOf(rows))
	}
}

// jsonOtherRow is a row of a dwell record that is no test step, with the figures that
// the logs show of it.
type jsonOtherRow struct {
	Run         string           `json:"run"`
	Purpose     quantity.Purpose `json:"purpose"`
	Frequency   float64          `json:"frequency_hz"`
	Start       string           `json:"start"`
	End         string           `json:"end"`
	Minimum     *float64         `json:"minimum_v_per_m,omitempty"`
	Maximum     *float64         `json:"maximum_v_per_m,omitempty"`
	Forward     *float64         `json:"forward_w,omitempty"`
	Observation string           `json:"observation,omitempty"`
	Evidence    jsonEvidence     `json:"evidence"`
}

func otherRowsJSON(run *Run) []jsonOtherRow {
	var list []jsonOtherRow
	for _, v := range run.OtherRows {
		list = append(list, jsonOtherRow{Run: run.ID, Purpose: v.Record.Purpose, Frequency: float64(v.Frequency()),
			Start: v.Record.Start.UTC().Format(time.RFC3339Nano), End: v.Record.End.UTC().Format(time.RFC3339Nano),
			Minimum: defined(v.Minimum), Maximum: defined(v.Maximum), Forward: defined(v.Power.Forward), Observation: v.Record.Observation,
			Evidence: jsonEvidence{File: v.DwellFile, Rows: []int{v.Record.Row, v.Record.Row}}})
	}
	return list
}
