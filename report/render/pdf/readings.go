package pdf

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// readings sets what each probe's readings are, and the factor M that brings them
// to the level that the limit speaks of.
func (b *book) readings() {
	b.Heading(layout.Heading{Level: 2, Text: "Readings"})
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Run"}, {Head: "Probe"}, {Head: "Log", Wraps: true}, {Head: "Detector"}, {Head: "Factor M and its source", Wraps: true},
		{Head: "Correction", Wraps: true}, {Head: "Range", Unit: "V/m", Align: layout.Right},
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
			r := layout.Texts(run.ID, orNotStated(p.Asset), p.Log.File, orNotStated(p.Detector), modulationFactors(run, k), correction, span)
			r.Note = b.report.UseOfProbe(i, k)
			t.Add(r)
		}
	}
	b.Table(t)
}

// modulationFactors names every factor M by which the readings of a probe were
// multiplied in a run, with its source.
func modulationFactors(run *report.Run, probe int) string {
	var list []string
	for _, factor := range run.ModulationFactors(probe) {
		list = append(list, fmt.Sprintf("%s (%s; %s)", fixedPoint(float64(factor.Value), 4), factor.Name, factor.Source))
	}
	return orNone(strings.Join(list, "\n"))
}

// harmonics sets every harmonic that the job sheet states, with the factors that
// brought the reading to the field of the fundamental.
func (b *book) harmonics() {
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Run"}, {Head: "Frequency", Align: layout.Right}, {Head: "Harmonics", Wraps: true}, {Head: "Probe"},
		{Head: "From the reading to the field", Wraps: true},
	}}
	for _, v := range b.report.WithHarmonics() {
		for _, p := range v.Probes() {
			steps := make([]string, len(p.Ledger))
			for n, factor := range p.Ledger {
				steps[n] = fmt.Sprintf("× %s %s", fixedPoint(float64(factor.Value), 4), factor.Name)
			}
			if p.NoField {
				steps = append(steps, "the harmonics leave no field")
			}
			t.Add(layout.Texts(b.report.Runs[v.Run].ID, frequency(v.Frequency()), harmonicsText(v), orNotStated(p.Asset), strings.Join(steps, "; ")))
		}
	}
	if len(t.Rows) == 0 {
		return
	}
	b.Heading(layout.Heading{Level: 2, Text: "Harmonics"})
	b.Introduce(2*layout.BodyStyle.Leading+6, t)
	b.Paragraph("The job sheet states how strong harmonics of the field were. An rms detector adds their powers, and its readings are brought to the fundamental alone.")
	b.Table(t)
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
