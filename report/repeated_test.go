package report

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

func TestRepeatedSteps(t *testing.T) {
	low, again := made(0, 30e6, NotMet, 90), made(1, 30e6, Met, 110)
	low.Index = 3
	edge, other := made(0, 31e6, Met, 110), made(1, 31e6, Met, 105)
	once := made(0, 32e6, NotMet, 90)
	hidden, worst := made(0, 33e6, NotShown, 90), made(2, 33e6, NotMet, 80)
	r, c := served(stepOf(low, again), stepOf(edge, other), stepOf(once), stepOf(hidden, worst))
	r.Findings = []Finding{
		{Check: "level", Visit: VisitRef{Run: 1, Visit: 4}}, {Check: "samples", Visit: VisitRef{Run: 1, Visit: 4}, Deviation: 1},
		{Check: "dwell", Visit: VisitRef{Run: 2, Visit: 4}}, {Check: "calibration"},
	}
	near := jobsheet.TuningChange{Frequency: 30e6 * (1 + 1e-10), By: "R. Tallholm", Note: "4 mm out"}
	r.Sheet.Tunings = []jobsheet.Tuning{
		{Name: "T-H", Changes: []jobsheet.TuningChange{near, {Frequency: 31e6, Note: "of another step"}}},
		{Name: "T-V", Changes: []jobsheet.TuningChange{{Frequency: 30e6, Note: "in the tuning of another run"}}},
		{Changes: []jobsheet.TuningChange{{Frequency: 33e6, Note: "in a tuning without a name"}}},
	}
	r.Runs[0].Sheet.Tuning, r.Runs[2].Sheet.Tuning = "T-H", "T-V"

	repeated, more := r.RepeatedSteps()
	require.Len(t, repeated, 2)
	assert.Equal(t, 1, more, "the edge of two runs is no repeat of a failure")
	assert.Equal(t, RepeatedStep{c, &c.Steps[0], []FailedVisit{{low, []string{"level"}}}, []jobsheet.TuningChange{near}, nil}, repeated[0])
	assert.Equal(t, RepeatedStep{c, &c.Steps[3], []FailedVisit{{hidden, nil}}, nil, nil}, repeated[1], "a step that still fails was repeated too")
}

func TestRepeatGroups(t *testing.T) {
	at := func(polarization quantity.Polarization, position quantity.Position, f quantity.Frequency, why string) Repeat {
		return Repeat{Polarization: polarization, Position: position, Frequency: f, Setting: f, Why: why}
	}
	r := &Report{Repeat: []Repeat{at("horizontal", 1, 30e6, "level"), at("horizontal", 1, 31e6, "level"), at("horizontal", 1, 32e6, "dwell"),
		at("horizontal", 1, 33e6, "level"), at("horizontal", 2, 33e6, "level"), at("vertical", 2, 33e6, "level")}}
	assert.Equal(t, []RepeatGroup{
		{"horizontal", 1, "level", []quantity.Frequency{30e6, 31e6}}, {"horizontal", 1, "dwell", []quantity.Frequency{32e6}},
		{"horizontal", 1, "level", []quantity.Frequency{33e6}}, {"horizontal", 2, "level", []quantity.Frequency{33e6}},
		{"vertical", 2, "level", []quantity.Frequency{33e6}},
	}, r.RepeatGroups(), "only neighbours stand together")
	assert.Empty(t, (&Report{}).RepeatGroups())
}

// What was done between a failure and its repeat stands beside the two.
func TestIncidentsBeforeARepeat(t *testing.T) {
	minute := func(m int) time.Time { return time.Date(2026, 11, 18, 9, m, 0, 0, time.UTC) }
	low, again := made(0, 30e6, NotMet, 90), made(0, 30e6, Met, 110)
	low.Record.Start, low.Record.End = quantity.InstantOf(minute(10)), quantity.InstantOf(minute(11))
	again.Record.Start, again.Record.End = quantity.InstantOf(minute(20)), quantity.InstantOf(minute(21))
	r, _ := served(stepOf(low, again))
	own, other := r.Runs[0].ID, r.Runs[1].ID
	require.NotEqual(t, own, other)
	between := Incident{At: minute(15), Run: own, What: "connector loose", Done: "tightened"}
	r.Incidents = []Incident{{At: minute(9), Run: own, What: "before it"}, between, {At: minute(15), Run: other, What: "elsewhere"},
		{At: minute(15), What: "of no run"}, {At: minute(22), Run: own, What: "after it"}}
	repeated, _ := r.RepeatedSteps()
	require.Len(t, repeated, 1)
	assert.Equal(t, []Incident{between}, repeated[0].Incidents)
}
