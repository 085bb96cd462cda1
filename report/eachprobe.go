package report

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

// SourceFigures are what one probe shows of a visit.
type SourceFigures = evaluate.SourceFigures

// EachProbe lists what each probe shows of a visit by itself, where the run has
// several; else nil.
func (run *Run) EachProbe(v *Visit) []*SourceFigures {
	if len(run.Sheet.Probes) < 2 && len(v.Sources) < 2 {
		return nil
	}
	return v.Probes()
}

// SeveralProbes reports whether a run has several probes.
func (r *Report) SeveralProbes() bool {
	for i := range r.Runs {
		for _, v := range r.Runs[i].Visits {
			if len(r.Runs[i].EachProbe(v)) > 0 {
				return true
			}
		}
	}
	return false
}

// EachProbeText says it in words; "" where the run has one probe.
func (run *Run) EachProbeText(v *Visit) string {
	var parts []string
	for _, p := range run.EachProbe(v) {
		name := p.Asset
		if name == "" {
			name = p.File
		}
		text := name + ": no usable reading"
		if quantity.Defined(p.Minimum) && quantity.Defined(p.Maximum) {
			text = fmt.Sprintf("%s: %s to %s, median %s", name, p.Minimum, p.Maximum, p.Median)
		}
		if p.Invalid > 0 {
			text += fmt.Sprintf(", %d invalid", p.Invalid)
		}
		if p.LowestRow > 0 {
			text += ", gives the level"
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}
