package report_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/plan"
)

// smallestPlan is a sheet with what a plan needs and no more.
const smallestPlan = `[article]
name = "winch controller WK-3"
[requirement]
profile = "mil-std-461g-rs103-ground-navy"
from = "30 MHz"
to = "40 MHz"
`

// planned makes the plan of a folder with these files.
func planned(t *testing.T, files map[string]string) (*plan.Plan, error) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	folder, err := ingest.OpenPlan(dir)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	return report.BuildPlan(folder)
}

func TestPlanNeedsArticleAndRequirementOnly(t *testing.T) {
	p, err := planned(t, map[string]string{"job.toml": smallestPlan})
	require.NoError(t, err)
	require.Len(t, p.Cells, 2)
	assert.EqualValues(t, "horizontal", p.Cells[0].Polarization)
	assert.EqualValues(t, "vertical", p.Cells[1].Polarization)
	assert.Equal(t, plan.NoForecast, p.Cells[0].Steps[0].Reach)
	assert.False(t, p.Forecast)
}

func TestPlanReadsRegisterAndLowLevelRecord(t *testing.T) {
	p, err := planned(t, map[string]string{
		"low.csv":   "Frequency (MHz);Forward (W);Field (V/m)\n29,5;10;18\n41;10;18\n",
		"equipment": "Asset;Due\nPA-02;2026-11-17\n",
		"job.toml": smallestPlan + `[plan]
date = 2026-11-18
levelling = "2 s"
[forecast]
file = { file = "low.csv", delimiter = ";" }
forward_max = "100 W"
[register]
file = "equipment"
[[equipment]]
asset = "PA-02"
role = "amplifier"
rated_power = "50 W"
[[run]]
id = "H1"
polarization = "horizontal"
amplifier = "PA-02"
`})
	require.NoError(t, err)
	h, v := &p.Cells[0], &p.Cells[1]
	limit := float64(h.Steps[0].Limit)
	assert.InEpsilon(t, 10*limit*limit/18/18, float64(h.Steps[0].Forward), 1e-9)
	assert.Equal(t, plan.Reached, h.Steps[0].Reach)
	assert.Equal(t, "PA-02 (amplifier)", h.Steps[0].Part)
	assert.Equal(t, "PA-02 (amplifier)", v.Steps[0].Part, "no vertical run is planned yet")
	assert.Equal(t, []string{
		"Horizontal, 30 MHz to 40 MHz: how many antenna positions are needed is not known (width in [article], or positions in [requirement]); the plan has one.",
		"Vertical, 30 MHz to 40 MHz: how many antenna positions are needed is not known (width in [article], or positions in [requirement]); the plan has one.",
		"PA-02 (amplifier): its calibration ends on 2026-11-17, before the test.",
	}, p.Concerns)
	assert.Equal(t, "5s", p.StepTime.String())
}

func TestPlansThatAreRefused(t *testing.T) {
	for _, test := range []struct{ name, add, want string }{
		{"no such record", "[forecast]\nfile = \"low.csv\"\n", "job.toml, line 8, forecast.file"},
		{"two records for one cell", "[[forecast]]\nfile = \"a.csv\"\n[[forecast]]\nfile = \"b.csv\"\npolarization = \"vertical\"\n", "serves this polarization and position already"},
		{"an unknown key", "[plan]\ndat = 2026-11-18\n", `did you mean "date"?`},
		{"a number without unit", "[plan]\nlevelling = 2\n", "a number needs its unit"},
		{"a record outside", "[forecast]\nfile = \"../low.csv\"\n", "leaves the day's folder"},
	} {
		_, err := planned(t, map[string]string{"job.toml": smallestPlan + test.add})
		require.Error(t, err, test.name)
		assert.Contains(t, err.Error(), test.want, test.name)
	}
}

// TestEveryExampleDayCanBePlanned makes the plan of days that were made already:
// the cells are those of their evaluation.
func TestEveryExampleDayCanBePlanned(t *testing.T) {
	days, err := filepath.Glob("../testdata/days/*/day")
	require.NoError(t, err)
	require.NotEmpty(t, days)
	for _, dir := range days {
		folder, err := ingest.OpenPlan(dir)
		require.NoError(t, err)
		p, err := report.BuildPlan(folder)
		require.NoError(t, err)
		require.NoError(t, folder.Close())
		r := build(t, dir)
		require.Len(t, p.Cells, len(r.Cells), dir)
		for i := range r.Cells {
			assert.Equal(t, r.Cells[i].From, p.Cells[i].From)
			assert.Equal(t, r.Cells[i].To, p.Cells[i].To)
			assert.Equal(t, r.Cells[i].Polarization, p.Cells[i].Polarization)
			assert.Equal(t, r.Cells[i].Position, p.Cells[i].Position)
		}
	}
}
