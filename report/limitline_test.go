package report

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

func limit(from, to quantity.Frequency, low, high quantity.FieldStrength, polarizations ...quantity.Polarization) requirement.Limit {
	return requirement.Limit{From: from, To: to, LowLevel: low, HighLevel: high, Polarizations: polarizations}
}

func TestLimitInACell(t *testing.T) {
	optional := limit(30e6, 200e6, 500, 500, quantity.Horizontal)
	optional.Optional = "ships"
	r := &Report{Requirement: &Requirement{Limits: []requirement.Limit{
		limit(10e6, 100e6, 10, 100, quantity.Horizontal, quantity.Vertical), limit(100e6, 1e9, 100, 100, quantity.Horizontal),
		limit(300e6, 1e9, 50, 50, quantity.Horizontal), optional,
	}}}
	c := &Cell{Cell: check.Cell{Cell: evaluate.Cell{Polarization: quantity.Horizontal, From: 20e6, To: 200e6}}}
	pieces := r.LimitIn(c)
	require.Len(t, pieces, 2)
	assert.Equal(t, []quantity.Frequency{20e6, 100e6, 100e6, 200e6}, []quantity.Frequency{pieces[0].From, pieces[0].To, pieces[1].From, pieces[1].To})
	assert.InDelta(t, 20, float64(pieces[0].At(20e6)), 1e-9, "straight in decibels over the logarithm of frequency")
	assert.InDelta(t, 31.6227766, float64(pieces[0].At(31.6227766e6)), 1e-6)
	assert.Equal(t, quantity.FieldStrength(100), pieces[0].At(100e6))
	assert.False(t, pieces[0].Flat())
	assert.True(t, pieces[1].Flat())

	c.Polarization = quantity.Vertical
	assert.Len(t, r.LimitIn(c), 1)
}

func TestLimitLines(t *testing.T) {
	both := []quantity.Polarization{quantity.Horizontal, quantity.Vertical}
	for _, test := range []struct {
		name   string
		limits []requirement.Limit
		want   [][]quantity.Polarization
	}{
		{"one for both", []requirement.Limit{limit(30e6, 1e9, 10, 10, both...)}, [][]quantity.Polarization{both}},
		{"stated twice", []requirement.Limit{limit(30e6, 1e9, 10, 10, both[0]), limit(30e6, 1e9, 10, 10, both[1])}, [][]quantity.Polarization{both}},
		{"another level", []requirement.Limit{limit(30e6, 1e9, 10, 10, both[0]), limit(30e6, 1e9, 10, 20, both[1])}, [][]quantity.Polarization{both[:1], both[1:]}},
		{"another range", []requirement.Limit{limit(30e6, 1e9, 10, 10, both...), limit(1e9, 2e9, 10, 10, both[1])}, [][]quantity.Polarization{both[:1], both[1:]}},
		{"vertical alone", []requirement.Limit{limit(30e6, 1e9, 10, 10, both[1])}, [][]quantity.Polarization{both[1:]}},
		{"none", nil, nil},
	} {
		r := &Report{Requirement: &Requirement{Limits: test.limits}}
		var got [][]quantity.Polarization
		for _, line := range r.LimitLines() {
			got = append(got, line.Polarizations)
		}
		assert.Equal(t, test.want, got, test.name)
	}
}

func TestLevelsThatFollowFromTheLimit(t *testing.T) {
	r := &Report{Requirement: &Requirement{ToleranceLow: -6, ToleranceHigh: quantity.Undefined[quantity.Decibel](), Rule: uncertainty.Rule{Guarded: true, Guard: 0.5}},
		Budget: &uncertainty.Budget{Standard: 1, Expanded: 2}}
	l := limit(30e6, 1e9, 100, 200)
	levels := r.LevelsOf(&l)
	assert.Equal(t, LevelSpan{100, 200}, levels.Limit)
	assert.InDelta(t, 50.1187, float64(levels.Lowest.Low), 1e-4)
	assert.InDelta(t, 100.2374, float64(levels.Lowest.High), 1e-4)
	assert.InDelta(t, 56.2341, float64(levels.Guarded.Low), 1e-4, "5 dB below the limit")
	assert.False(t, quantity.Defined(levels.Highest.Low))
	r.Requirement.ToleranceHigh = 6
	assert.InDelta(t, 199.5262, float64(r.LevelsOf(&l).Highest.Low), 1e-4)
}

func TestStepRules(t *testing.T) {
	r := &Report{Requirement: &Requirement{Limits: []requirement.Limit{{From: 30e6, To: 60e6, LowLevel: 200, HighLevel: 200, Polarizations: quantity.Polarizations()}},
		Steps: []requirement.StepRule{{From: 1e6, To: 30e6, Max: 0.01}, {From: 30e6, To: 1e9, Max: 0.005}, {From: 1e9, To: 40e9, Max: 0.0025}}}}
	assert.Equal(t, r.Requirement.Steps[1:2], r.StepRules(), "what only touches the part that the day shows says nothing of it")
	assert.Len(t, r.Requirement.Steps, 3)
}

// A limit at listed frequencies has a piece at each of them, and none between.
func TestLimitAtListedFrequencies(t *testing.T) {
	l := requirement.Limit{From: 88e6, To: 108e6, LowLevel: 10, HighLevel: 20, Polarizations: quantity.Polarizations(),
		Frequencies: []quantity.Frequency{88e6, 108e6}}
	r := &Report{Requirement: &Requirement{Limits: []requirement.Limit{l}}}
	c := &Cell{}
	c.Polarization, c.From, c.To = quantity.Vertical, 88e6, 200e6
	pieces := r.LimitIn(c)
	require.Len(t, pieces, 2)
	for i, want := range []float64{88e6, 108e6} {
		assert.Equal(t, [2]float64{want, want}, [2]float64{float64(pieces[i].From), float64(pieces[i].To)})
	}
	assert.InDelta(t, 20, float64(pieces[1].At(108e6)), 1e-9)
	c.From = 100e6
	assert.Len(t, r.LimitIn(c), 1)
	require.Len(t, r.LimitLines(), 1)
	assert.Len(t, r.LimitLines()[0].Pieces, 2)
}
