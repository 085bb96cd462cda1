package report

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// TimesOf says from when and to when the job sheet names a probe, in the report's
// zone: "from 2026-11-18 10:30:00"; "" where it names it for the whole of its run.
func (r *Report) TimesOf(p *jobsheet.Probe) string {
	const clock = "2006-01-02 15:04:05.999"
	var parts []string
	for _, end := range []struct {
		word string
		at   time.Time
	}{{"from ", p.From}, {"to ", p.To}} {
		if !end.at.IsZero() {
			parts = append(parts, end.word+end.at.In(r.zone()).Format(clock))
		}
	}
	return strings.Join(parts, " ")
}

// UseOfProbe says when a probe of a run, both given by their index, was in use and
// what became of its readings; "" where it was in use for the whole of the run.
func (r *Report) UseOfProbe(run, probe int) string {
	p := &r.Runs[run].Sheet.Probes[probe]
	for _, u := range r.Runs[run].Uses {
		if u.Probe != probe || !p.IsBounded() {
			continue
		}
		text := fmt.Sprintf("In use %s (%s): %d readings in visits.", r.TimesOf(p), r.zone(), u.Readings)
		if u.Left == 0 {
			return text
		}
		text += fmt.Sprintf(" %d more readings in visits were taken at other times and count in no figure", u.Left)
		if quantity.Defined(u.High) {
			text += fmt.Sprintf("; as logged they lie between %s and %s", u.Low, u.High)
		}
		return text + "."
	}
	return ""
}
