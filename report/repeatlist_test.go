package report_test

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
)

// TestRepeatsGroupedBySetup works a list off with the fewest changes: two
// antennas, of which the second was used first in the list's order.
func TestRepeatsGroupedBySetup(t *testing.T) {
	runs := []report.Run{
		{Run: check.Run{Run: evaluate.Run{ID: "H1"}}, Sheet: &jobsheet.Run{Antenna: "AN-2"}},
		{Run: check.Run{Run: evaluate.Run{ID: "H2"}}, Sheet: &jobsheet.Run{Antenna: "AN-1"}},
		{Run: check.Run{Run: evaluate.Run{ID: "V1"}}, Sheet: &jobsheet.Run{Antenna: "AN-2"}},
	}
	step := func(f quantity.Frequency, run int) report.Step {
		v := &report.Visit{Visit: &evaluate.Visit{Run: run, Sustained: 90}}
		v.Power.ForLimit = 123
		return report.Step{Step: evaluate.Step{Frequency: f}, Best: v, Visits: []*report.Visit{v}}
	}
	cell := func(polarization string, position int, steps ...report.Step) report.Cell {
		return report.Cell{Cell: check.Cell{Cell: evaluate.Cell{Polarization: quantity.Polarization(polarization), Position: quantity.Position(position), From: 30e6, To: 100e6}, Steps: steps}}
	}
	r := &report.Report{Runs: runs, Requirement: &report.Requirement{},
		Cells: []report.Cell{cell("horizontal", 1, step(30e6, 1), step(60e6, 0)), cell("vertical", 1, step(40e6, 2)), cell("vertical", 2)},
		Repeat: []report.Repeat{
			{Polarization: "horizontal", Position: 1, Frequency: 30e6, Why: "level"},
			{Polarization: "horizontal", Position: 1, Frequency: 31e6, Why: "step-size"},
			{Polarization: "horizontal", Position: 1, Frequency: 60e6, Why: "level"},
			{Polarization: "vertical", Position: 1, Frequency: 40e6, Why: "dwell"},
			{Polarization: "vertical", Position: 2, Frequency: 30e6, Why: "position"},
		}}
	setups := r.RepeatSetups()
	require.Len(t, setups, 4)
	type group struct {
		antenna, polarization string
		position              int
		frequencies           []quantity.Frequency
	}
	var got []group
	for _, s := range setups {
		g := group{antenna: s.Antenna, polarization: string(s.Polarization), position: int(s.Position)}
		for _, e := range s.Entries {
			g.frequencies = append(g.frequencies, e.Frequency)
		}
		got = append(got, g)
	}
	assert.Equal(t, []group{
		{"AN-2", "horizontal", 1, []quantity.Frequency{60e6}},
		{"AN-2", "vertical", 1, []quantity.Frequency{40e6}},
		{"AN-1", "horizontal", 1, []quantity.Frequency{30e6, 31e6}},
		{"", "vertical", 2, []quantity.Frequency{30e6}},
	}, got)
	visited, hole := setups[2].Entries[0], setups[2].Entries[1]
	assert.Equal(t, "H2", visited.Run)
	assert.Equal(t, quantity.FieldStrength(90), visited.Sustained)
	assert.Equal(t, quantity.Power(123), visited.Forward)
	assert.Empty(t, hole.Run)
	assert.True(t, math.IsNaN(float64(hole.Forward)))
}

// TestRepeatSetupsLoseNothing demands every entry of the list of each example
// day, once, ascending within its setup, with its limit.
func TestRepeatSetupsLoseNothing(t *testing.T) {
	days, err := filepath.Glob("../testdata/days/*/day")
	require.NoError(t, err)
	require.NotEmpty(t, days)
	for _, dir := range days {
		r := build(t, dir)
		var all []report.Repeat
		for _, s := range r.RepeatSetups() {
			for i, e := range s.Entries {
				all = append(all, e.Repeat)
				assert.Equal(t, s.Polarization, e.Polarization)
				assert.Equal(t, s.Position, e.Position)
				assert.True(t, quantity.Defined(e.Limit), "%s %v", dir, e.Repeat)
				if i > 0 {
					assert.Greater(t, e.Frequency, s.Entries[i-1].Frequency)
				}
			}
		}
		assert.ElementsMatch(t, r.Repeat, all, dir)
	}
}
