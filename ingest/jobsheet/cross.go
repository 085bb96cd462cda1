package jobsheet

import (
	"fmt"

	"fieldheld/ingest/document"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// Checks are the names of the checks that a deviation can cover, in the order
// of their weight. Package check has a test that its suite has just these.
var Checks = []string{"level", "overlevel", "dwell", "overlap", "coarse", "levelling", "step-size", "coverage", "polarization",
	"position", "samples", "correction-range", "modulation", "calibration", "equipment", "probe-fault", "frequency-agreement",
	"harmonic", "observation", "tuning", "motion", "power", "mismatch", "linearity", "clock", "record", "environment", "event", "deviation"}

// names are those of other sheets that a sheet may refer to.
type names struct{ runs, tunings []string }

// crossCheck reports names that refer to nothing and names given twice.
func (s *Sheet) crossCheck(root *document.Table, others names) {
	runs := append(uniqueNames(root, "run", "id", len(s.Runs), func(i int) string { return s.Runs[i].ID }), others.runs...)
	tunings := append(uniqueNames(root, "tuning", "name", len(s.Tunings), func(i int) string { return s.Tunings[i].Name }), others.tunings...)
	uniqueNames(root, "equipment", "asset", len(s.Equipment), func(i int) string { return s.Equipment[i].Asset })
	for i := range s.Runs {
		refer(root, fmt.Sprintf("run[%d].tuning", i+1), s.Runs[i].Tuning, tunings, wording.Say("sheet.a-tuning", nil))
	}
	aRun := wording.Say("sheet.a-run", nil)
	if len(others.runs) > 0 {
		aRun = wording.Say("sheet.a-run-of-a-day", wording.Values{"example": others.runs[0]})
	}
	for i := range s.Events {
		refer(root, fmt.Sprintf("event[%d].run", i+1), s.Events[i].Run, runs, aRun)
	}
	for i := range s.Incidents {
		refer(root, fmt.Sprintf("incident[%d].run", i+1), s.Incidents[i].Run, runs, aRun)
	}
	for i := range s.Deviations {
		d := &s.Deviations[i]
		refer(root, fmt.Sprintf("deviation[%d].run", i+1), d.Run, runs, aRun)
		for _, name := range d.Covers {
			refer(root, fmt.Sprintf("deviation[%d].covers", i+1), name, Checks, wording.Say("sheet.a-check", nil))
		}
	}
}

func uniqueNames(root *document.Table, list, key string, n int, name func(int) string) []string {
	var names []string
	known := map[string]bool{}
	for i := 0; i < n; i++ {
		if known[name(i)] && name(i) != "" {
			root.Fail(fmt.Sprintf("%s[%d].%s", list, i+1, key), wording.Say("sheet.name-twice", wording.Values{"found": name(i), "list": list}))
		}
		known[name(i)] = true
		names = append(names, name(i))
	}
	return names
}

func refer(root *document.Table, path, name string, names []string, expected wording.Text) {
	if name == "" {
		return
	}
	for _, known := range names {
		if known == name {
			return
		}
	}
	root.Fail(path, wording.Say("sheet.name-of-nothing", wording.Values{"found": name, "expected": expected, "near": place.Nearest(name, names)}))
}

// CheckDetectors reports probes whose detector is needed and not given: readings
// taken while a modulated signal was on, without a measured factor. Modulated
// says whether any visit of a run is modulated.
func (s *Sheet) CheckDetectors(modulated func(run int) bool) place.Messages {
	var messages place.Messages
	for i := range s.Runs {
		for j := range s.Runs[i].Probes {
			p := &s.Runs[i].Probes[j]
			if p.Detector != "" || p.Unmodulated || quantity.Defined(p.ModulationFactor) || !modulated(i) {
				continue
			}
			where := p.Place
			where.Key += ".detector"
			messages.Add(place.Message{Place: where, Text: wording.Say("sheet.detector-needed", nil)})
		}
	}
	return messages
}
