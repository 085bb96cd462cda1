package pdf

import (
	"fmt"
	"strings"

	"fieldheld/report/render/layout"
)

// equipment sets what was used, and how its calibration stood.
func (b *book) equipment() {
	b.section("6", "Equipment", "equipment")
	if len(b.report.Equipment) == 0 {
		b.Paragraph("The job sheet lists no equipment.")
		return
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Asset", Wraps: len(b.report.Sheet.Days) > 0}, {Head: "Role", Wraps: true}, {Head: "Description, maker, model", Wraps: true},
		{Head: "Serial", Wraps: true}, {Head: "Runs", Wraps: true},
		{Head: "Calibrated"}, {Head: "Due"}, {Head: "Certificate, traceability", Wraps: true}, {Head: "State on the test dates", Wraps: true},
	}}
	for i := range b.report.Equipment {
		e := &b.report.Equipment[i]
		runs := strings.Join(e.Runs, ", ")
		if runs == "" {
			runs = "all"
		}
		r := layout.Texts(e.Asset, e.Role, orNotStated(list(", ", e.Description, e.Maker, e.Model)), orNotStated(e.Serial), runs,
			date(e.Calibrated), date(e.Due), orNotStated(list("; ", e.Certificate, e.Traceability)), e.State)
		if reason := e.CalibrationReason; e.CalibrationNotRequired && reason != "" {
			r.Note = "Needs no calibration: " + reason + "."
		}
		for _, use := range e.Uses {
			text := "In run " + use.Run + " in use in no visit."
			if !use.From.IsZero() {
				text = fmt.Sprintf("In run %s in use from %s to %s.", use.Run, moment(use.From), moment(use.To))
			}
			r.Note = list(" ", r.Note, text)
		}
		if len(b.report.Sheet.Days) > 0 && len(e.Runs) > 0 { // their names, with the day, are too long for the column
			r.Cells[4].Text = fmt.Sprint(len(e.Runs))
			r.Note = list(" ", "Runs "+runs+".", r.Note)
		}
		t.Add(r)
	}
	b.Table(t)
	note := "Runs: “all” is an asset that no run names; its calibration acts on all of them."
	if len(b.report.Sheet.Days) > 0 {
		note += " An asset whose calibration the days state differently stands there once for each day, and acts on the runs of that day."
	}
	b.Note(note)
}
