package pdf

import (
	"fmt"
	"strings"
)

// equipment sets what was used, and how its calibration stood.
func (b *book) equipment() {
	b.section("6", "Equipment", "equipment")
	if len(b.report.Equipment) == 0 {
		b.paragraph("The job sheet lists no equipment.")
		return
	}
	t := &table{columns: []column{
		{head: "Asset", wraps: len(b.report.Sheet.Days) > 0}, {head: "Role", wraps: true}, {head: "Description, maker, model", wraps: true},
		{head: "Serial", wraps: true}, {head: "Runs", wraps: true},
		{head: "Calibrated"}, {head: "Due"}, {head: "Certificate, traceability", wraps: true}, {head: "State on the test dates", wraps: true},
	}}
	for i := range b.report.Equipment {
		e := &b.report.Equipment[i]
		runs := strings.Join(e.Runs, ", ")
		if runs == "" {
			runs = "all"
		}
		r := texts(e.Asset, e.Role, orNotStated(list(", ", e.Description, e.Maker, e.Model)), orNotStated(e.Serial), runs,
			date(e.Calibrated), date(e.Due), orNotStated(list("; ", e.Certificate, e.Traceability)), e.State)
		if reason := e.CalibrationReason; e.CalibrationNotRequired && reason != "" {
			r.note = "Needs no calibration: " + reason + "."
		}
		for _, use := range e.Uses {
			text := "In run " + use.Run + " in use in no visit."
			if !use.From.IsZero() {
				text = fmt.Sprintf("In run %s in use from %s to %s.", use.Run, moment(use.From), moment(use.To))
			}
			r.note = list(" ", r.note, text)
		}
		if len(b.report.Sheet.Days) > 0 && len(e.Runs) > 0 { // their names, with the day, are too long for the column
			r.cells[4].text = fmt.Sprint(len(e.Runs))
			r.note = list(" ", "Runs "+runs+".", r.note)
		}
		t.add(r)
	}
	b.table(t)
	note := "Runs: “all” is an asset that no run names; its calibration acts on all of them."
	if len(b.report.Sheet.Days) > 0 {
		note += " An asset whose calibration the days state differently stands there once for each day, and acts on the runs of that day."
	}
	b.note(note)
}
