package pdf

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// readings sets what each probe's readings are, and the factor M that brings them
// to the level that the limit speaks of.
func (b *book) readings() {
	b.heading(head{level: 2, text: "Readings"})
	t := &table{columns: []column{
		{head: "Run"}, {head: "Probe"}, {head: "Log", wraps: true}, {head: "Detector"}, {head: "Factor M and its source", wraps: true},
		{head: "Correction", wraps: true}, {head: "Range", unit: "V/m", align: right},
	}}
	for i := range b.report.Runs {
		run := &b.report.Runs[i]
		for k := range run.Sheet.Probes {
			p := &run.Sheet.Probes[k]
			correction := "none: used as read"
			if p.Correction != nil {
				correction = p.Correction.File
			}
			span := undefined
			if quantity.Defined(p.Range.Low) || quantity.Defined(p.Range.High) {
				span = exact(float64(p.Range.Low)) + " – " + exact(float64(p.Range.High))
			}
			r := texts(run.ID, orNotStated(p.Asset), p.Log.File, orNotStated(p.Detector), modulationFactors(run, k), correction, span)
			r.note = b.timesOfProbe(run, k)
			t.add(r)
		}
	}
	b.table(t)
}

// timesOfProbe says when a probe of a run was in use, where the job sheet bounds
// that, and what became of its readings; "" where it does not.
func (b *book) timesOfProbe(run *report.Run, probe int) string {
	p := &run.Sheet.Probes[probe]
	for _, u := range run.Uses {
		if u.Probe != probe || !p.IsBounded() {
			continue
		}
		text := fmt.Sprintf("In use%s (%s): %d readings in visits.", timesOf(b.inZone(p.From), b.inZone(p.To)), zoneOf(run.First), u.Readings)
		if u.Left > 0 {
			text += fmt.Sprintf(" %d more readings in visits were taken at other times and count in no figure", u.Left)
			if quantity.Defined(u.High) {
				text += fmt.Sprintf("; as logged they lie between %s and %s", u.Low, u.High)
			}
			text += "."
		}
		return text
	}
	return ""
}

// timesOf writes from when and to when something lasts, without the zone; an open end
// is zero.
func timesOf(from, to time.Time) string {
	const clock = "2006-01-02 15:04:05.999"
	text := ""
	if !from.IsZero() {
		text += " from " + from.Format(clock)
	}
	if !to.IsZero() {
		text += " to " + to.Format(clock)
	}
	return text
}

// modulationFactors names every factor M by which the readings of a probe were
// multiplied in a run, with its source.
func modulationFactors(run *report.Run, probe int) string {
	var list []string
	seen := map[string]bool{}
	for _, v := range run.Visits {
		for _, p := range v.Probes() {
			if p.Probe != probe {
				continue
			}
			for _, factor := range p.Ledger {
				text := fmt.Sprintf("%s (%s; %s)", fixedPoint(float64(factor.Value), 4), factor.Name, factor.Source)
				if factor.Modulation && !seen[text] {
					list, seen[text] = append(list, text), true
				}
			}
		}
	}
	return orNone(strings.Join(list, "\n"))
}

// harmonics sets every harmonic that the job sheet states, with the factors that
// brought the reading to the field of the fundamental.
func (b *book) harmonics() {
	t := &table{columns: []column{
		{head: "Run"}, {head: "Frequency", align: right}, {head: "Harmonics", wraps: true}, {head: "Probe"},
		{head: "From the reading to the field", wraps: true},
	}}
	for i := range b.report.Runs {
		run := &b.report.Runs[i]
		for _, v := range run.Visits {
			if len(v.Harmonics) == 0 {
				continue
			}
			for _, p := range v.Probes() {
				steps := make([]string, len(p.Ledger))
				for n, factor := range p.Ledger {
					steps[n] = fmt.Sprintf("× %s %s", fixedPoint(float64(factor.Value), 4), factor.Name)
				}
				if p.NoField {
					steps = append(steps, "the harmonics leave no field")
				}
				t.add(texts(run.ID, frequency(v.Frequency()), harmonicsText(v), orNotStated(p.Asset), strings.Join(steps, "; ")))
			}
		}
	}
	if len(t.rows) == 0 {
		return
	}
	b.heading(head{level: 2, text: "Harmonics"})
	b.paragraph("The job sheet states how strong harmonics of the field were. An rms detector adds their powers, and its readings are brought to the fundamental alone.")
	b.table(t)
}

// harmonicsText names the harmonics that are stated for a visit.
func harmonicsText(v *report.Visit) string {
	list := make([]string, len(v.Harmonics))
	for i, h := range v.Harmonics {
		level := fmt.Sprintf("%s over the fundamental", h.Level)
		if quantity.Defined(h.Field) {
			level = h.Field.String()
		}
		list[i] = fmt.Sprintf("×%d: %s", h.Order, level)
	}
	return strings.Join(list, "\n")
}
