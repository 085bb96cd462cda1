// Package compare says what changed between two reports: inputs, verdicts,
// figures, findings and the text of the job sheet (ISO/IEC 17025:2017, 7.8.8).
// It reads what the reports carry and evaluates nothing.
package compare

import (
	"encoding/json"
	"errors"
	"fmt"
	"path"
	"regexp"
	"sort"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/seal/evidence"
)

// largest is how many bytes of attachments are taken out of a report.
const largest = 1 << 30

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
	return between(old, now)
}

// With lists what changed from an old report to one that is being made. Read
// returns the bytes of an input file by its path.
func With(before []byte, r *report.Report, read func(path string) ([]byte, error)) ([]report.Change, error) {
	old, err := open(before)
	if err != nil {
		return nil, fmt.Errorf("the report that is replaced: %w", err)
	}
	if err := replaces(r, &old.results); err != nil {
		return nil, err
	}
	data, err := r.JSON()
	if err != nil {
		return nil, err
	}
	now := &side{inputs: map[string]string{}, sheets: map[string][]byte{}}
	for _, f := range r.Files {
		now.inputs[f.Path] = f.SHA256
		if !isSheet(f.Path) {
			continue
		}
		if now.sheets[f.Path], err = read(f.Path); err != nil {
			return nil, fmt.Errorf("the job sheet %s: %w", f.Path, err)
		}
	}
	if err := json.Unmarshal(data, &now.results); err != nil {
		return nil, fmt.Errorf("the new results: %w", err)
	}
	return between(old, now)
}

// replaces reports an old report that is not the one that the new one says that it
// replaces: the job sheet names its number, and its revision is an earlier one
// where the number stays.
func replaces(r *report.Report, old *results) error {
	s := &r.Sheet.Report
	switch {
	case !namesNumber(s.Replaces, old.Report):
		return fmt.Errorf("the file is report %s, the job sheet says that this one replaces %q", old.Report, s.Replaces)
	case old.Report == s.Number && old.Revision >= s.Revision:
		return fmt.Errorf("the file is revision %d of report %s, which revision %d cannot replace", old.Revision, old.Report, s.Revision)
	}
	return nil
}

// namesNumber reports whether a text names the number of a report: all of it, and
// not a longer one that holds it.
func namesNumber(text, number string) bool {
	const part = `[^\pL\pN\-_/.]` // what no number goes on with
	whole, err := regexp.Compile(`(?:^|` + part + `)` + regexp.QuoteMeta(number) + `(?:$|` + part + `|\.(?:$|[^\pL\pN]))`)
	return err == nil && number != "" && whole.MatchString(text)
}

// side is one of the two reports.
type side struct {
	inputs  map[string]string // SHA-256 by path
	results results
	sheets  map[string][]byte // of each job sheet that the report carries, by path
}

// isSheet reports whether an input is a job sheet: that of the test, or of one of
// its days.
func isSheet(file string) bool { return path.Base(file) == "job.toml" }

// results are the parts of the JSON document that are compared.
type results struct {
	Report    string `json:"report"` // the number
	Revision  int    `json:"revision"`
	Day       string `json:"day"`
	Behaviour string `json:"behaviour"`
	Cells     []struct {
		Polarization quantity.Polarization `json:"polarization"`
		Position     quantity.Position     `json:"position"`
		From         float64               `json:"from_hz"`
		To           float64               `json:"to_hz"`
		State        string                `json:"state"`
		Steps        int                   `json:"steps"`
		StepsMet     int                   `json:"steps_met"`
	} `json:"cells"`
	Runs []struct {
		ID     string           `json:"id"`
		Visits []map[string]any `json:"visits"`
	} `json:"runs"`
	Findings []struct {
		Check        string                `json:"check"`
		State        string                `json:"state"`
		Run          string                `json:"run"`
		Polarization quantity.Polarization `json:"polarization"`
		Position     quantity.Position     `json:"position"`
		From         *float64              `json:"from_hz"`
		Message      string                `json:"message"`
	} `json:"findings"`
}

func open(document []byte) (*side, error) {
	bundle, err := evidence.Verify(document, largest)
	if err != nil {
		return nil, err
	}
	if bundle.Manifest == nil || bundle.Results == nil {
		return nil, ErrNothingInside
	}
	s := &side{inputs: map[string]string{}, sheets: map[string][]byte{}}
	for _, in := range bundle.Inputs {
		s.inputs[in.Path] = in.SHA256
		if data, carried := bundle.Data[in.Path]; carried && isSheet(in.Path) {
			s.sheets[in.Path] = data
		}
	}
	if err := json.Unmarshal(bundle.Results, &s.results); err != nil {
		return nil, fmt.Errorf("its results cannot be read: %w", err)
	}
	return s, nil
}

// list collects what differs.
type list struct{ changes []report.Change }

func (l *list) add(what, before, after string) {
	if before != after {
		l.changes = append(l.changes, report.Change{What: what, Before: before, After: after})
	}
}

func between(old, now *side) ([]report.Change, error) {
	var l list
	l.add("verdict on the day", old.results.Day, now.results.Day)
	l.maps("cell ", cells(&old.results), cells(&now.results))
	l.add("behaviour of the article", old.results.Behaviour, now.results.Behaviour)
	l.figures(&old.results, &now.results)
	l.maps("finding ", findings(&old.results), findings(&now.results))
	from := len(l.changes)
	l.maps("input ", digests(old.inputs), digests(now.inputs))
	for i := range l.changes[from:] {
		l.changes[from+i].Digest = true
	}
	if err := l.sheets(old, now); err != nil {
		return nil, err
	}
	return l.changes, nil
}

// maps adds every name whose text differs, in the order of the names.
func (l *list) maps(prefix string, old, now map[string]string) {
	for _, name := range names(old, now) {
		l.add(prefix+name, old[name], now[name])
	}
}

// names returns the keys that one of the maps has, sorted.
func names[T any](old, now map[string]T) []string {
	var all []string
	for name := range old {
		all = append(all, name)
	}
	for name := range now {
		if _, both := old[name]; !both {
			all = append(all, name)
		}
	}
	sort.Strings(all)
	return all
}

func cells(r *results) map[string]string {
	texts := map[string]string{}
	for _, c := range r.Cells {
		name := fmt.Sprintf("%s, position %d, %s", c.Polarization, c.Position, span(c.From, c.To))
		texts[name] = fmt.Sprintf("%s, %d of %d steps met", c.State, c.StepsMet, c.Steps)
	}
	return texts
}

// findings names each finding by its check and place, so that one whose figures
// changed is told as one change.
func findings(r *results) map[string]string {
	texts := map[string]string{}
	for _, f := range r.Findings {
		name := f.Check
		switch {
		case f.Run != "":
			name += ", " + f.Run
		case f.Polarization != "":
			name += fmt.Sprintf(", %s, position %d", f.Polarization, f.Position)
		}
		if f.From != nil {
			name += ", " + megahertz(*f.From)
		}
		text := f.State + ": " + f.Message
		if others := texts[name]; others != "" {
			text = others + " / " + text
		}
		texts[name] = text
	}
	return texts
}

// span writes a range in the unit of both its ends.
func span(from, to float64) string {
	if from >= 1e9 {
		return fmt.Sprintf("%g to %g GHz", from/1e9, to/1e9)
	}
	return fmt.Sprintf("%g to %s", from/1e6, megahertz(to))
}

func megahertz(hertz float64) string { return fmt.Sprintf("%g MHz", hertz/1e6) }

func digests(inputs map[string]string) map[string]string {
	texts := map[string]string{}
	for path, digest := range inputs {
		texts[path] = "SHA-256 " + digest
	}
	return texts
}
