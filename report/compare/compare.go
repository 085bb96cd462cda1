// Package compare says what changed between two reports: inputs, verdicts,
// figures, findings and the text of the job sheet (ISO/IEC 17025:2017, 7.8.8).
// It reads what the reports carry and evaluates nothing.
package compare

import (
	"encoding/json"
	"errors"
	"fmt"
	"sort"
	"strings"

	"fieldheld/report"
	"fieldheld/report/evidence"
)

// largest is how many bytes of attachments are taken out of a report.
const largest = 8 << 30

// ErrNothingInside says that a report carries neither manifest nor results.
var ErrNothingInside = errors.New("the report carries no manifest and no results, so that nothing can be compared; make it with --evidence hashes or files")

// Reports lists what changed from one report to another, both as PDF.
func Reports(before, after []byte) ([]report.Change, error) {
	old, err := open(before)
	if err != nil {
		return nil, fmt.Errorf("the old report: %w", err)
	}
	now, err := open(after)
	if err != nil {
		return nil, fmt.Errorf("the new report: %w", err)
	}
	return between(old, now), nil
}

// With lists what changed from an old report to one that is being made.
func With(before []byte, r *report.Report, sheet []byte) ([]report.Change, error) {
	old, err := open(before)
	if err != nil {
		return nil, fmt.Errorf("the report that is replaced: %w", err)
	}
	results, err := r.JSON()
	if err != nil {
		return nil, err
	}
	now := &side{sheet: string(sheet)}
	for _, f := range r.Files {
		now.inputs = append(now.inputs, evidence.Input{Path: f.Path, SHA256: f.SHA256})
	}
	if err := json.Unmarshal(results, &now.results); err != nil {
		return nil, fmt.Errorf("the new results: %w", err)
	}
	return between(old, now), nil
}

// side is one of the two reports.
type side struct {
	inputs  []evidence.Input
	results results
	sheet   string
}

// results are the parts of the JSON document that are compared.
type results struct {
	Day   string `json:"day"`
	Cells []struct {
		Polarization string  `json:"polarization"`
		Position     int     `json:"position"`
		From         float64 `json:"from_hz"`
		To           float64 `json:"to_hz"`
		State        string  `json:"state"`
		Steps        int     `json:"steps"`
		StepsMet     int     `json:"steps_met"`
	} `json:"cells"`
	Runs []struct {
		ID     string           `json:"id"`
		Visits []map[string]any `json:"visits"`
	} `json:"runs"`
	Findings []struct {
		Check   string   `json:"check"`
		State   string   `json:"state"`
		Run     string   `json:"run"`
		From    *float64 `json:"from_hz"`
		Message string   `json:"message"`
	} `json:"findings"`
}

func open(document []byte) (*side, error) {
	bundle, err := evidence.Extract(document, largest)
	if err != nil {
		return nil, err
	}
	if bundle.Manifest == nil || bundle.Results == nil {
		return nil, ErrNothingInside
	}
	s := &side{inputs: bundle.Inputs, sheet: string(bundle.Data["job.toml"])}
	if err := json.Unmarshal(bundle.Results, &s.results); err != nil {
		return nil, fmt.Errorf("its results cannot be read: %w", err)
	}
	return s, nil
}

func between(old, now *side) []report.Change {
	var changes []report.Change
	add := func(what, before, after string) {
		if before != after {
			changes = append(changes, report.Change{What: what, Before: before, After: after})
		}
	}
	add("verdict on the day", old.results.Day, now.results.Day)
	compareMaps(add, "cell ", cells(&old.results), cells(&now.results))
	compareFigures(add, old, now)
	compareMaps(add, "finding: ", findings(&old.results), findings(&now.results))
	compareMaps(add, "input ", inputs(old.inputs), inputs(now.inputs))
	compareLines(add, old.sheet, now.sheet)
	return changes
}

// compareMaps reports every name whose text differs, in the order of the names.
func compareMaps(add func(what, before, after string), prefix string, old, now map[string]string) {
	names := map[string]bool{}
	for name := range old {
		names[name] = true
	}
	for name := range now {
		names[name] = true
	}
	sorted := make([]string, 0, len(names))
	for name := range names {
		sorted = append(sorted, name)
	}
	sort.Strings(sorted)
	for _, name := range sorted {
		add(prefix+name, old[name], now[name])
	}
}

func cells(r *results) map[string]string {
	texts := map[string]string{}
	for _, c := range r.Cells {
		name := fmt.Sprintf("%s, position %d, %g to %g MHz", c.Polarization, c.Position, c.From/1e6, c.To/1e6)
		texts[name] = fmt.Sprintf("%s, %d of %d steps met", c.State, c.StepsMet, c.Steps)
	}
	return texts
}

// findings counts equal findings, so that the texts tell how often each stands there.
func findings(r *results) map[string]string {
	counts := map[string]int{}
	for _, f := range r.Findings {
		name := f.Check
		if f.Run != "" {
			name += ", " + f.Run
		}
		if f.From != nil {
			name += fmt.Sprintf(", %g MHz", *f.From/1e6)
		}
		counts[name+" ("+f.State+"): "+f.Message]++
	}
	texts := map[string]string{}
	for name, n := range counts {
		texts[name] = "found"
		if n > 1 {
			texts[name] = fmt.Sprintf("found %d times", n)
		}
	}
	return texts
}

func inputs(list []evidence.Input) map[string]string {
	texts := map[string]string{}
	for _, in := range list {
		texts[in.Path] = "SHA-256 " + in.SHA256
	}
	return texts
}

// compareFigures reports, for each run, how many visits have other figures.
func compareFigures(add func(what, before, after string), old, now *side) {
	texts := func(s *side) map[string][]string {
		byRun := map[string][]string{}
		for _, run := range s.results.Runs {
			for _, visit := range run.Visits {
				text, _ := json.Marshal(visit) // maps are written sorted by key; what was read can be written
				byRun[run.ID] = append(byRun[run.ID], string(text))
			}
		}
		return byRun
	}
	before, after := texts(old), texts(now)
	summary := map[string]string{}
	empty := map[string]string{}
	for run := range union(before, after) {
		same := map[string]int{}
		for _, visit := range before[run] {
			same[visit]++
		}
		kept := 0
		for _, visit := range after[run] {
			if same[visit] > 0 {
				same[visit]--
				kept++
			}
		}
		if kept == len(before[run]) && kept == len(after[run]) {
			continue
		}
		empty[run] = fmt.Sprintf("%d visits", len(before[run]))
		summary[run] = fmt.Sprintf("%d visits, %d of them with other figures or new", len(after[run]), len(after[run])-kept)
	}
	compareMaps(add, "figures of run ", empty, summary)
}

func union(a, b map[string][]string) map[string]bool {
	names := map[string]bool{}
	for name := range a {
		names[name] = true
	}
	for name := range b {
		names[name] = true
	}
	return names
}

// compareLines reports the lines of the job sheet that were taken out or added.
// A line that only moved is no change of what the sheet says.
func compareLines(add func(what, before, after string), old, now string) {
	if old == "" || now == "" {
		return // one of the reports does not carry its sheet; its digest differs if it does
	}
	count := map[string]int{}
	for _, line := range strings.Split(old, "\n") {
		count[strings.TrimSpace(line)]++
	}
	var added []string
	for _, line := range strings.Split(now, "\n") {
		line = strings.TrimSpace(line)
		if count[line] > 0 {
			count[line]--
			continue
		}
		added = append(added, line)
	}
	var gone []string
	for _, line := range strings.Split(old, "\n") {
		line = strings.TrimSpace(line)
		if count[line] > 0 && line != "" {
			count[line]--
			gone = append(gone, line)
		}
	}
	for _, line := range gone {
		after := ""
		for i, other := range added {
			if key(other) == key(line) {
				after = other
				added = append(added[:i:i], added[i+1:]...)
				break
			}
		}
		add("job sheet", line, after)
	}
	for _, line := range added {
		add("job sheet", "", line)
	}
}

// key is the key of a line of a job sheet; a line without one stands for itself.
func key(line string) string {
	name, _, _ := strings.Cut(line, "=")
	return strings.TrimSpace(name)
}
