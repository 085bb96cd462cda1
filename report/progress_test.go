package report

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
)

// halfway is a day of one cell from 30 MHz to 100 MHz of which three steps were
// visited, ten seconds apart: met, not met, and one that lasts longer than the log.
func halfway() *Report {
	noon := time.Date(2026, 11, 18, 12, 0, 0, 0, time.UTC)
	run := Run{Run: check.Run{Run: evaluate.Run{ID: "H1", Polarization: "horizontal", Position: 1}},
		Sheet: &jobsheet.Run{ID: "H1", ForwardMax: 100, Dwell: table.Entry{File: "dwell.csv"},
			Probes: []jobsheet.Probe{{Asset: "FP-04", Log: table.Entry{File: "h1.csv"}}}}}
	r := &Report{Sheet: &Sheet{}, Requirement: &Requirement{Dwell: 3 * time.Second, Settle: time.Second},
		Files: []File{{Path: "dwell.csv", Last: noon.Add(time.Hour)}, {Path: "h1.csv", Last: noon.Add(24 * time.Second)}}}
	cell := Cell{Cell: check.Cell{StepsMet: 1, Holes: []Hole{{Hole: evaluate.Hole{From: 32e6, To: 100e6, Check: "coverage"}}},
		Cell: evaluate.Cell{Polarization: "horizontal", Position: 1, From: 30e6, To: 100e6, Runs: []int{0}}}}
	for i, state := range []State{Met, NotMet, NotShown} {
		at := quantity.InstantOf(noon).Add(time.Duration(10*i) * time.Second)
		v := &Visit{State: state, Visit: &evaluate.Visit{Power: evaluate.PowerFigures{Forward: 50},
			Record: record.Visit{Frequency: quantity.Frequency(30e6 + 1e6*float64(i)), Start: at, End: at.Add(5 * time.Second)}}}
		run.Visits = append(run.Visits, v)
		cell.Steps = append(cell.Steps, Step{Step: evaluate.Step{Frequency: v.Frequency()}, State: state, Visits: []*Visit{v}, Best: v})
		if state != Met {
			r.Repeat = append(r.Repeat, Repeat{Polarization: "horizontal", Position: 1, Frequency: v.Frequency(), Setting: v.Frequency(), Why: "level"})
		}
	}
	for range 7 {
		r.Repeat = append(r.Repeat, Repeat{Polarization: "horizontal", Position: 1, Frequency: 50e6, Setting: 50e6, Why: "coverage", Hole: true})
	}
	r.Runs, r.Cells = []Run{run}, []Cell{cell}
	return r
}

func TestProgressCountsWhatIsPlanned(t *testing.T) {
	p := halfway().Progress("H1")
	assert.Equal(t, []int{10, 3, 1}, []int{p.Planned, p.Visited, p.Met})
	assert.Equal(t, 7, p.Cells[0].Left())
	require.NotNil(t, p.Current)
	assert.True(t, p.Current.Going)
	assert.Equal(t, quantity.Frequency(32e6), p.Current.Visit.Frequency())
	assert.True(t, p.Current.Waiting)
	assert.Equal(t, quantity.Frequency(31e6), p.Current.Judged.Frequency(), "figures are those of a step whose log is complete")
	assert.InDelta(t, 3.01, float64(p.Current.Headroom), 0.01)
	assert.Equal(t, 7*5500*time.Millisecond, p.Current.Left, "three visits are too few for a pace: settle, levelling and dwell")
}

// TestOnlyTheRunThatGoesOnWaits: what a log does not show yet is no step to repeat
// while the log goes on, and is one when it does not.
func TestOnlyTheRunThatGoesOnWaits(t *testing.T) {
	for going, want := range map[string]struct{ waiting, repeat int }{"H1": {1, 1}, "": {0, 2}, "V1": {0, 2}} {
		p := halfway().Progress(going)
		assert.Len(t, p.Waiting, want.waiting, going)
		assert.Len(t, p.Repeat, want.repeat, going)
		assert.Equal(t, want.repeat, p.Cells[0].Repeat, going)
		assert.Equal(t, 1, p.Met, "waiting is never met")
	}
	r := halfway()
	r.Files[1].Last = r.Files[0].Last
	assert.Empty(t, r.Progress("H1").Waiting, "the log reaches to the end of the step")
	r.Files = nil
	assert.Len(t, r.Progress("H1").Waiting, 2, "a log without any time: what is not met waits")
}

// TestWaitingForAProbeThatWasChanged: what a probe does not show that was taken away,
// or had not come, is waited for no longer.
func TestWaitingForAProbeThatWasChanged(t *testing.T) {
	noon := time.Date(2026, 11, 18, 12, 0, 0, 0, time.UTC)
	for _, test := range []struct {
		name     string
		from, to time.Time
		waiting  int
	}{
		{"it stays", time.Time{}, time.Time{}, 1},
		{"it was there in time", noon.Add(20 * time.Second), time.Time{}, 1},
		{"it came later", noon.Add(25 * time.Second), time.Time{}, 0},
		{"it was taken away before", time.Time{}, noon.Add(20 * time.Second), 0},
		{"it was taken away within the visit", time.Time{}, noon.Add(24 * time.Second), 0},
		{"it will be taken away", time.Time{}, noon.Add(25 * time.Second), 1},
	} {
		r := halfway()
		probe := &r.Runs[0].Sheet.Probes[0]
		probe.From, probe.To = test.from, test.to
		assert.Len(t, r.Progress("H1").Waiting, test.waiting, test.name)
	}
}

func TestPaceOfARun(t *testing.T) {
	r := halfway()
	for i := 3; i < 8; i++ {
		figures := *r.Runs[0].Visits[2].Visit
		v := Visit{Visit: &figures}
		v.Record.Start = v.Record.Start.Add(time.Duration(i) * 10 * time.Second)
		v.Record.End = v.Record.End.Add(time.Duration(i) * 10 * time.Second)
		r.Runs[0].Visits = append(r.Runs[0].Visits, &v)
	}
	assert.Equal(t, 10*time.Second, r.pace(&r.Runs[0]), "the break of thirty seconds counts for nothing")
}

func TestProgressOfNothing(t *testing.T) {
	p := (&Report{Sheet: &Sheet{}, Requirement: &Requirement{}}).Progress("H1")
	assert.Nil(t, p.Current)
	r := halfway()
	r.Runs[0].Visits[2].Power.Forward = quantity.Power(math.NaN())
	assert.False(t, quantity.Defined(r.Progress("").Current.Headroom), "no power, no headroom")
}
