package main

import (
	"bytes"
	"flag"
	"math"
	"os"
	"path/filepath"
	"sort"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/demoday"
)

// feed names a folder in which a made-up day grows, to be watched in a terminal:
//
//	go test ./cmd/fieldheld -run TestFeed -feed growing-day -feed-from 20m -feed-speed 4
//	fieldheld check --watch growing-day
var (
	feed      = flag.String("feed", "", "folder in which a made-up day grows in real time")
	feedFrom  = flag.Duration("feed-from", 0, "how much of the day is there at the beginning")
	feedSpeed = flag.Float64("feed-speed", 1, "how much faster than a real one the day grows")
	feedFor   = flag.Duration("feed-for", 10*time.Minute, "for how long it grows")
	feedMute  = flag.Duration("feed-mute", 0, "after which the log of the last probe stands still; 0 for never")
)

// TestFeed lets a day grow for somebody who watches it.
func TestFeed(t *testing.T) {
	if *feed == "" { // nobody watches: that it grows at all
		dir := filepath.Join(t.TempDir(), "day")
		require.NoError(t, newFeeder(dir, twoProbes()).until(2*time.Minute))
		require.FileExists(t, filepath.Join(dir, "job.toml"))
		return
	}
	f := newFeeder(*feed, twoProbes())
	begun := time.Now()
	for passed := time.Duration(0); passed < *feedFor; passed = time.Since(begun) {
		if *feedMute > 0 && passed > *feedMute {
			f.mute = "FP-04"
		}
		require.NoError(t, f.until(*feedFrom+time.Duration(float64(passed)**feedSpeed)))
		time.Sleep(500 * time.Millisecond)
	}
}

// twoProbes is a day of four runs, each with two probes; a run is 46 steps.
func twoProbes() *demoday.Day {
	s := demoday.RandomShape(3)
	s.Seed, s.Zone, s.Date = 5, time.UTC, time.Date(2026, 11, 18, 0, 0, 0, 0, time.UTC)
	s.Limits = []demoday.Limit{{From: 30e6, To: 60e6, LowLevel: 200, HighLevel: 200}}
	s.Step, s.Resolution, s.Dwell, s.Settle, s.Response = 0.015, 1e3, 3*time.Second, 0, 0
	s.Modulation = quantity.Modulation{Kind: quantity.CW}
	s.ToleranceLow, s.ToleranceHigh = quantity.Decibel(math.NaN()), quantity.Decibel(math.NaN())
	s.Rule, s.Guard, s.Uncertainty, s.Sensors = "", quantity.Ratio(math.NaN()), false, "every"
	s.Positions, s.Parts, s.Repeats, s.Probes = 2, 1, 0, 2
	s.Sampling = demoday.Sampling{Interval: 200 * time.Millisecond}
	s.PowerTimes, s.PowerSteps, s.PowerIdle, s.PowerEvery = true, true, true, time.Second
	s.SharedDwell, s.SharedPower, s.SharedLog, s.LogSteps, s.Durations, s.Motion = false, false, false, false, false, false
	s.ProbeClock, s.PowerClock, s.DwellClock = 0, 0, 0
	s.Axes, s.Total = false, true
	local := demoday.Layout{Time: demoday.TimeStyle{Clock: "2006-01-02 15:04:05.000"}}
	s.Files.Probe, s.Files.Dwell, s.Files.Power, s.Files.Motion = local, local, local, local
	s.Files.Register, s.Files.Correction = demoday.Layout{}, demoday.Layout{}
	return s.Day()
}

// feeder writes as much of a made-up day as a laboratory had at a time: rows are
// appended, and records of runs to come are not there.
type feeder struct {
	dir   string
	day   *demoday.Day
	whole []demoday.Run // with all their rows
	logs  map[string][]demoday.Sample
	mute  string // asset of a probe that writes nothing more
	begin quantity.Instant
}

func newFeeder(dir string, day *demoday.Day) *feeder {
	f := &feeder{dir: dir, day: day, logs: map[string][]demoday.Sample{}, begin: day.Runs[0].Dwell.Visits[0].Start}
	for _, run := range day.Runs {
		kept := *run
		dwell, power := *run.Dwell, *run.Power
		kept.Dwell, kept.Power = &dwell, &power
		f.whole = append(f.whole, kept)
		for _, p := range run.Probes {
			f.logs[p.Log.Entry.File] = p.Log.Samples
			p.Log.Samples = nil
		}
	}
	return f
}

// until writes the day as it is so long after its first step began.
func (f *feeder) until(passed time.Duration) error {
	now := f.begin.Add(passed)
	absent := map[string]bool{}
	for i, run := range f.day.Runs {
		whole := &f.whole[i]
		run.Dwell.Visits = whole.Dwell.Visits[:sort.Search(len(whole.Dwell.Visits), func(k int) bool { return whole.Dwell.Visits[k].End > now })]
		run.Power.Rows = whole.Power.Rows[:sort.Search(len(whole.Power.Rows), func(k int) bool { return whole.Power.Rows[k].At > now })]
		absent[run.Dwell.Entry.File], absent[run.Power.Entry.File] = len(run.Dwell.Visits) == 0, len(run.Power.Rows) == 0
		for _, p := range run.Probes {
			all := f.logs[p.Log.Entry.File]
			if p.Sheet.Asset != f.mute {
				p.Log.Samples = all[:sort.Search(len(all), func(k int) bool { return all[k].At > now })]
			}
			absent[p.Log.Entry.File] = len(p.Log.Samples) == 0
		}
	}
	files, err := f.day.Files()
	if err != nil {
		return err
	}
	for name, data := range files {
		if absent[name] {
			continue
		}
		if err := grow(filepath.Join(f.dir, filepath.FromSlash(name)), data); err != nil {
			return err
		}
	}
	return nil
}

// grow appends what a file lacks of the data; one that is no beginning of them is
// written anew.
func grow(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	present, err := os.ReadFile(path)
	if err == nil && bytes.Equal(present, data) {
		return nil
	}
	if err == nil && bytes.HasPrefix(data, present) {
		file, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0o644)
		if err != nil {
			return err
		}
		if _, err := file.Write(data[len(present):]); err != nil {
			return err
		}
		return file.Close()
	}
	return os.WriteFile(path, data, 0o644)
}
