package report_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"sort"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
)

// document is the JSON document as others read it. Figures are pointers, because
// an undefined one is absent.
type document struct {
	Schema   int               `json:"schema"`
	Day      string            `json:"day"`
	Report   string            `json:"report"`
	Cells    []documentCell    `json:"cells"`
	Runs     []documentRun     `json:"runs"`
	Findings []documentFinding `json:"findings"`
	Repeat   []documentRepeat  `json:"repeat"`
}

type documentCell struct {
	Polarization string               `json:"polarization"`
	Position     int                  `json:"position"`
	From         float64              `json:"from_hz"`
	To           float64              `json:"to_hz"`
	State        string               `json:"state"`
	Steps        int                  `json:"steps"`
	StepsMet     int                  `json:"steps_met"`
	Holes        []map[string]float64 `json:"holes"`
}

type documentRun struct {
	ID           string           `json:"id"`
	Polarization string           `json:"polarization"`
	Position     int              `json:"position"`
	Visits       []map[string]any `json:"visits"`
}

type documentFinding struct {
	Check        string   `json:"check"`
	State        string   `json:"state"`
	Run          string   `json:"run"`
	Polarization string   `json:"polarization"`
	Position     int      `json:"position"`
	From         *float64 `json:"from_hz"`
	To           *float64 `json:"to_hz"`
	Evidence     []struct {
		File string `json:"file"`
		Rows []int  `json:"rows"`
	} `json:"evidence"`
}

type documentRepeat struct {
	Polarization string  `json:"polarization"`
	Position     int     `json:"position"`
	Frequency    float64 `json:"frequency_hz"`
	Why          string  `json:"why"`
}

// build evaluates a day's folder as the program does.
func build(t testing.TB, dir string) *report.Report {
	t.Helper()
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	t.Cleanup(func() { folder.Close() })
	r, err := report.Build(folder, report.Program{Name: "fieldheld", Version: "test"})
	require.NoError(t, err)
	return r
}

func decode(t testing.TB, data []byte) document {
	t.Helper()
	var d document
	require.NoError(t, json.Unmarshal(data, &d))
	return d
}

// TestExampleDays compares each example day with what an independent evaluator
// got: every state, finding, hole and repeat entry, every figure within 1e-6.
func TestExampleDays(t *testing.T) {
	days, err := filepath.Glob("../testdata/days/*")
	require.NoError(t, err)
	require.NotEmpty(t, days)
	for _, dir := range days {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			data, err := os.ReadFile(filepath.Join(dir, "expected.json"))
			require.NoError(t, err)
			want := decode(t, data)
			data, err = build(t, filepath.Join(dir, "day")).JSON()
			require.NoError(t, err)
			compareDocuments(t, want, decode(t, data))
		})
	}
}

func compareDocuments(t *testing.T, want, got document) {
	assert.Equal(t, want.Schema, got.Schema)
	assert.Equal(t, want.Day, got.Day)
	assert.Equal(t, want.Report, got.Report)
	if assert.Len(t, got.Cells, len(want.Cells)) {
		for i := range want.Cells {
			compareCells(t, want.Cells[i], got.Cells[i])
		}
	}
	if assert.Len(t, got.Runs, len(want.Runs)) {
		for i := range want.Runs {
			compareRuns(t, want.Runs[i], got.Runs[i])
		}
	}
	assert.Equal(t, findingKeys(want.Findings), findingKeys(got.Findings))
	if assert.Len(t, got.Repeat, len(want.Repeat)) {
		for i, w := range want.Repeat {
			g := got.Repeat[i]
			same(t, "repeat", w.Frequency, g.Frequency)
			w.Frequency, g.Frequency = 0, 0
			assert.Equal(t, w, g)
		}
	}
}

func compareCells(t *testing.T, want, got documentCell) {
	if assert.Len(t, got.Holes, len(want.Holes)) {
		for i := range want.Holes {
			same(t, "hole", want.Holes[i]["from_hz"], got.Holes[i]["from_hz"])
			same(t, "hole", want.Holes[i]["to_hz"], got.Holes[i]["to_hz"])
		}
	}
	want.Holes, got.Holes = nil, nil
	assert.Equal(t, want, got)
}

func compareRuns(t *testing.T, want, got documentRun) {
	assert.Equal(t, want.ID, got.ID)
	assert.Equal(t, want.Polarization, got.Polarization)
	assert.Equal(t, want.Position, got.Position)
	if !assert.Len(t, got.Visits, len(want.Visits)) {
		return
	}
	for i, w := range want.Visits {
		g := got.Visits[i]
		name := fmt.Sprintf("run %s visit %d", want.ID, i+1)
		if !assert.ElementsMatch(t, keys(w), keys(g), name) {
			continue
		}
		for key, value := range w {
			if figure, ok := value.(float64); ok {
				same(t, name+" "+key, figure, g[key].(float64))
			} else {
				assert.Equal(t, value, g[key], name+" "+key)
			}
		}
	}
}

func keys(m map[string]any) []string {
	var list []string
	for key := range m {
		list = append(list, key)
	}
	return list
}

// findingKeys writes findings as texts that hold everything but the message,
// sorted, because the order of findings is not part of the contract.
func findingKeys(findings []documentFinding) []string {
	var list []string
	for _, f := range findings {
		text := fmt.Sprintf("%s %s %s %s %d", f.Check, f.State, f.Run, f.Polarization, f.Position)
		if f.From != nil {
			text += fmt.Sprintf(" %.0f-%.0f", *f.From, *f.To)
		}
		for _, e := range f.Evidence {
			text += fmt.Sprintf(" %s%v", e.File, e.Rows)
		}
		list = append(list, text)
	}
	sort.Strings(list)
	return list
}

// same demands that a figure is equal within 1e-6 of its size.
func same(t *testing.T, what string, want, got float64) {
	t.Helper()
	assert.LessOrEqual(t, math.Abs(want-got), 1e-6*math.Max(math.Abs(want), 1e-9), "%s: want %v, got %v", what, want, got)
}
