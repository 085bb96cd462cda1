package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/uncertainty"
)

func TestMarginsOverTheAcceptanceLevel(t *testing.T) {
	simple := &Report{Requirement: &Requirement{ToleranceLow: -2}, Budget: &uncertainty.Budget{Standard: 0.5, Expanded: 1}}
	assert.Equal(t, quantity.Decibel(3), simple.OverAcceptance(3), "a simple rule has no guard band")
	assert.InDelta(t, 0.5, simple.RiskAtAcceptance(), 1e-12)

	guarded := &Report{Requirement: &Requirement{ToleranceLow: -2, Rule: uncertainty.Rule{Guarded: true, Guard: 1}}, Budget: simple.Budget}
	assert.Equal(t, quantity.Decibel(1), guarded.AskedMargin())
	assert.Equal(t, quantity.Decibel(2), guarded.OverAcceptance(3))
	assert.InDelta(t, 0.02275, guarded.RiskAtAcceptance(), 1e-5, "two standard uncertainties")

	for name, budget := range map[string]*uncertainty.Budget{"none": nil, "zero": {}} {
		unknown := &Report{Requirement: guarded.Requirement, Budget: budget}
		assert.True(t, math.IsNaN(unknown.RiskAtAcceptance()), name)
		assert.False(t, quantity.Defined(unknown.OverAcceptance(30)), "a guard band of unknown width is reached by nothing")
	}

	event := func(limit, threshold quantity.FieldStrength, dismissed string) *Event {
		return &Event{Event: jobsheet.Event{Threshold: threshold, Dismissed: dismissed}, Limit: limit, BelowLimit: threshold < limit}
	}
	none := quantity.Undefined[quantity.FieldStrength]()
	assert.InDelta(t, 1, float64(guarded.ThresholdMargin(event(100, 100, ""))), 1e-9, "2 dB of tolerance, 1 dB of guard band")
	assert.InDelta(t, -5.0206, float64(guarded.ThresholdMargin(event(100, 50, ""))), 1e-4)
	for name, e := range map[string]*Event{"no limit": event(none, 50, ""), "no threshold": event(100, none, ""), "dismissed": event(100, 50, "a lamp")} {
		assert.False(t, quantity.Defined(guarded.ThresholdMargin(e)), name)
	}
}

func TestMarginsOfTheStepsThatAreMet(t *testing.T) {
	none := quantity.Undefined[quantity.FieldStrength]()
	low, high, failed, unknown, endless := made(0, 30e6, Met, 101), made(0, 31e6, Met, 130), made(0, 32e6, NotMet, 50), made(0, 33e6, Met, none), made(0, 34e6, Met, 150)
	endless.Margin = quantity.Decibel(math.Inf(1))
	r, _ := served(stepOf(unknown), stepOf(high), stepOf(failed), stepOf(low), stepOf(endless))
	least, greatest := r.MetMargins()
	assert.Equal(t, []quantity.Decibel{low.Margin, high.Margin}, []quantity.Decibel{least, greatest})

	r, _ = served(stepOf(failed), stepOf(unknown))
	least, greatest = r.MetMargins()
	assert.False(t, quantity.Defined(least) || quantity.Defined(greatest))
}

func TestACellWithoutALevelHasNoLeastMargin(t *testing.T) {
	c := &Cell{Statistics: Statistics{LeastMargin: Extreme{Value: 0.4, Frequency: 30e6, Run: "H1"}}}
	assert.Equal(t, 0.4, c.LeastMargin().Value)
	c.Statistics.NoLevel = 1
	least := c.LeastMargin()
	assert.True(t, math.IsNaN(least.Value))
	assert.False(t, quantity.Defined(least.Frequency))
	assert.Empty(t, least.Run)
}

func TestProofOfTheDay(t *testing.T) {
	for _, test := range []struct {
		day   DayState
		cells []State
		want  State
	}{
		{Demonstrated, []State{Met}, Met},
		{DemonstratedWithDeviations, []State{Met, MetWithDeviations}, MetWithDeviations},
		{NotDemonstrated, []State{Met, NotShown}, NotShown},
		{NotDemonstrated, []State{NotShown, NotMet, Met}, NotMet},
		{NotDemonstrated, nil, NotShown},
		{"", []State{Met}, NotShown},
	} {
		r := &Report{State: test.day}
		for _, s := range test.cells {
			r.Cells = append(r.Cells, Cell{Cell: check.Cell{State: s}})
		}
		assert.Equal(t, test.want, r.Proof(), "%s, %v", test.day, test.cells)
	}
}

func TestChangedRequirement(t *testing.T) {
	r := stated(func(*Report) {})
	assert.Empty(t, r.ChangedRequirement())
	r.Requirement.Overrides = []Override{override("to", "18 GHz", "200 MHz", false), override("dwell", "4 s", "2 s", true)}
	assert.Equal(t, "Set by the job sheet: to 200 MHz instead of 18 GHz; dwell 2 s instead of 4 s (asks for less than the requirement). Reasons stand in section 4.",
		r.ChangedRequirement())
}
