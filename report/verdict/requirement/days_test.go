package requirement

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// expectedDay is what an independent evaluation of an example day found, as far
// as the requirement alone decides it.
type expectedDay struct {
	Cells []struct {
		Polarization string             `json:"polarization"`
		Position     int                `json:"position"`
		From         quantity.Frequency `json:"from_hz"`
		To           quantity.Frequency `json:"to_hz"`
	} `json:"cells"`
	Runs []struct {
		ID           string `json:"id"`
		Polarization string `json:"polarization"`
		Visits       []struct {
			Frequency quantity.Frequency `json:"frequency_hz"`
			Limit     *float64           `json:"limit_v_per_m"`
			Required  *float64           `json:"required_s"`
		} `json:"visits"`
	} `json:"runs"`
	Findings []expectedFinding `json:"findings"`
	Repeat   []struct {
		Polarization string             `json:"polarization"`
		Position     int                `json:"position"`
		Frequency    quantity.Frequency `json:"frequency_hz"`
		Why          string             `json:"why"`
	} `json:"repeat"`
}

type expectedFinding struct {
	Check        string             `json:"check"`
	State        string             `json:"state"`
	Polarization string             `json:"polarization"`
	Position     int                `json:"position"`
	From         quantity.Frequency `json:"from_hz"`
	To           quantity.Frequency `json:"to_hz"`
}

// exampleDays reads every example day: its requirement with the job sheet
// applied, and what was found separately.
func exampleDays(t *testing.T) map[string]exampleDay {
	t.Helper()
	folders, err := filepath.Glob(filepath.Join("..", "..", "..", "testdata", "days", "*", "expected.json"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(folders), 6, "the example days are part of the repository")
	days := map[string]exampleDay{}
	for _, path := range folders {
		folder := filepath.Dir(path)
		var day exampleDay
		readJSON(t, path, &day.expected)
		text, err := os.ReadFile(filepath.Join(folder, "day", "job.toml"))
		require.NoError(t, err)
		sheet, err := jobsheet.Parse(text, "job.toml")
		require.NoError(t, err)
		var r *Requirement
		if file := sheet.Requirement.File; file != "" {
			text, err = os.ReadFile(filepath.Join(folder, "day", filepath.FromSlash(file)))
			require.NoError(t, err)
			r, err = Parse(text, file)
		} else {
			r, err = Builtin(sheet.Requirement.Profile)
		}
		require.NoError(t, err)
		day.requirement, err = r.Apply(sheet.Requirement, sheet.Article)
		require.NoError(t, err)
		days[filepath.Base(folder)] = day
	}
	return days
}

type exampleDay struct {
	requirement *Requirement
	expected    expectedDay
}

func readJSON(t *testing.T, path string, into any) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, into))
}

func TestExampleDaysHaveTheirCells(t *testing.T) {
	type cell struct {
		polarization string
		position     int
		from, to     quantity.Frequency
	}
	for name, day := range exampleDays(t) {
		var want, got []cell
		for _, c := range day.expected.Cells {
			want = append(want, cell{c.Polarization, c.Position, c.From, c.To})
		}
		for _, rg := range day.requirement.Ranges() {
			for _, part := range day.requirement.CellsOf(rg) {
				got = append(got, cell{string(rg.Polarization), int(part.Position), part.From, part.To})
			}
		}
		assert.ElementsMatch(t, want, got, name)
	}
}

func TestExampleDaysHaveTheirLimits(t *testing.T) {
	for name, day := range exampleDays(t) {
		for _, run := range day.expected.Runs {
			for _, v := range run.Visits {
				got := day.requirement.Limit(v.Frequency, quantity.Polarization(run.Polarization))
				if v.Limit == nil {
					assert.False(t, quantity.Defined(got), "%s %s %s", name, run.ID, v.Frequency)
					continue
				}
				assert.InEpsilon(t, *v.Limit, float64(got), 1e-9, "%s %s %s", name, run.ID, v.Frequency)
				if v.Required != nil {
					assert.InDelta(t, *v.Required, day.requirement.Required().Seconds(), 1e-9, "%s %s", name, run.ID)
				}
			}
		}
	}
}

// The frequencies that fill the holes of the days are the ones to repeat.
func TestExampleDaysHaveTheirRepeats(t *testing.T) {
	holes := []string{"step-size", "coverage", "polarization", "position"}
	filled := 0
	for name, day := range exampleDays(t) {
		for _, f := range day.expected.Findings {
			if f.State != "open" || !slices.Contains(holes, f.Check) {
				continue
			}
			var want []float64
			for _, again := range day.expected.Repeat {
				if again.Why == f.Check && again.Polarization == f.Polarization && again.Position == f.Position && again.Frequency.Within(f.From, f.To) {
					want = append(want, float64(again.Frequency))
				}
			}
			got := asFloats(toFill(day, f))
			require.Len(t, got, len(want), "%s %s from %s", name, f.Check, f.From)
			for i := range want {
				assert.InEpsilon(t, want[i], got[i], 1e-9, "%s %s", name, f.Check)
			}
			filled++
		}
	}
	assert.Positive(t, filled)
}

// toFill lists what has to be run in a hole: a missing end is repeated too, a
// cell without any run from its beginning.
func toFill(day exampleDay, f expectedFinding) []quantity.Frequency {
	r := day.requirement
	list := r.Fill(f.From, f.To)
	switch f.Check {
	case "polarization", "position":
		return r.Sequence(f.From, f.To)
	case "coverage":
		starts := slices.ContainsFunc(r.Ranges(), func(rg Range) bool {
			return string(rg.Polarization) == f.Polarization && rg.From == f.From
		})
		if starts {
			return append([]quantity.Frequency{f.From}, list...)
		}
		return append(list, f.To)
	}
	return list
}
