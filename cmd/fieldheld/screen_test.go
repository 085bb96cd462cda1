package main

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync/atomic"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/watch"
	"fieldheld/report"
	"fieldheld/report/verdict/evaluate"
)

var update = flag.Bool("update", false, "write the golden files of screens anew")

// bench is a day that grows while it is looked at, with a clock that the test turns.
type bench struct {
	*testing.T
	*feeder
	logs   *growth
	glance glance
}

func newTestBench(t *testing.T) *bench {
	dir := filepath.Join(t.TempDir(), "day")
	return &bench{T: t, feeder: newFeeder(dir, twoProbes()), logs: newGrowth(dir)}
}

// after lets the day grow until so long after its first step, evaluates it, and
// returns what is seen at that time by a machine whose clock is three hours off.
func (b *bench) after(passed time.Duration) *sight {
	b.Helper()
	require.NoError(b, b.until(passed))
	at := noon.Add(passed)
	b.glance = glanceAt(b.dir, func() time.Time { return at })
	require.NoError(b, b.glance.fault)
	b.logs.look(b.glance.runs, at)
	return sightOf(&b.glance, b.logs, at)
}

// golden compares what a terminal of that size shows with a file.
func golden(t *testing.T, name string, v *sight, width, height int) string {
	t.Helper()
	var b strings.Builder
	lines := fit(v, "DAY", width, height)
	assert.LessOrEqual(t, len(lines), height)
	for _, l := range lines {
		assert.LessOrEqual(t, utf8.RuneCountInString(l.text(false)), width)
		b.WriteString(strings.TrimRight(l.text(false), " ") + "\n")
	}
	path := filepath.Join("testdata", "watch", fmt.Sprintf("%s-%dx%d.txt", name, width, height))
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String(), name)
	return b.String()
}

// TestScreensOfADay looks at a day at its beginning, in the middle of a run, with a
// probe that has gone silent, between two runs and at the end.
func TestScreensOfADay(t *testing.T) {
	b := newTestBench(t)
	b.after(0)
	golden(t, "begin", b.after(2*time.Second), 80, 24)
	var v *sight
	for passed := 90 * time.Second; passed <= 96*time.Second; passed += 500 * time.Millisecond {
		v = b.after(passed)
	}
	for _, size := range [][2]int{{80, 24}, {120, 40}, {80, 12}, {40, 10}} {
		golden(t, "middle", v, size[0], size[1])
	}
	b.mute = "FP-04"
	for passed := 96 * time.Second; passed <= 106*time.Second; passed += time.Second {
		v = b.after(passed)
	}
	text := golden(t, "silent", v, 80, 24)
	assert.Contains(t, text, "!! FP-04 silent since 12:01:36: no new row in probe/h1-fp4.csv")
	assert.Contains(t, text, "Waiting for the log:")
	assert.NotContains(t, text, "To repeat", "what waits is nothing to repeat")
	golden(t, "silent", v, 120, 40)

	b.mute = ""
	b.after(107 * time.Second)
	text = golden(t, "whole", b.after(time.Hour), 80, 24)
	assert.Contains(t, text, "\nDEMONSTRATED\n")
	assert.NotContains(t, text, "silent", "nothing is left to do, so that the logs may stand still")
}

// TestTheBellRingsOnceForASilence, and not for what is drawn again.
func TestTheBellRingsOnceForASilence(t *testing.T) {
	var out bytes.Buffer
	size := [2]int{80, 24}
	s := newScreen(&out, "DAY")
	s.size = func() (int, int) { return size[0], size[1] }
	v := &sight{glance: &glance{fault: errors.New("there is no job sheet")}, at: noon}
	show := func() string {
		out.Reset()
		require.NoError(t, s.show(v, false))
		return out.String()
	}
	text := show()
	assert.Contains(t, text, clearScreen)
	assert.NotContains(t, text, bell)
	assert.NotContains(t, show(), clearScreen, "what is drawn in its place does not flicker")

	v.silences = []silence{{probe: "FP-04", file: "h1.csv", since: noon, there: true}}
	assert.Contains(t, show(), bell)
	assert.NotContains(t, show(), bell)
	v.silences = append(v.silences, silence{probe: "FP-03", file: "h1-3.csv", since: noon, there: true})
	assert.Contains(t, show(), bell, "another probe is another silence")
	v.silences = nil
	assert.NotContains(t, show(), bell)
	v.silences = []silence{{probe: "FP-04", file: "h1.csv", since: second(60), there: true}}
	assert.Contains(t, show(), bell, "and so is the next one of the same probe")

	size = [2]int{120, 40}
	text = show()
	assert.Contains(t, text, clearScreen, "a terminal of another size is drawn from its top")
	assert.NotContains(t, text, bell)
	assert.NotContains(t, text, "\x1b[1;7;31m", "no colour where none was asked for")
	s.colour = true
	assert.Contains(t, show(), "\x1b[1;7;31m!! FP-04 silent")
	size = [2]int{0, 0}
	assert.Contains(t, show(), "Ctrl-C ends", "a terminal that does not say its size gets the usual one")
}

// TestASilenceIsToldBetweenTwoLooks: a log that stands still is no change of the
// folder, so that only the clock can tell it.
func TestASilenceIsToldBetweenTwoLooks(t *testing.T) {
	b := newTestBench(t)
	require.NoError(t, b.until(90*time.Second))
	var at atomic.Int64
	ticks := make(chan time.Time)
	by := clock{now: func() time.Time { return second(int(at.Load())) }, ticks: ticks}
	ctx, stop := context.WithCancel(context.Background())
	w := &watched{T: t, dir: b.dir, stop: stop, ended: make(chan error, 1)}
	go func() { w.ended <- watchDay(ctx, w.dir, watch.Usual, by, &w.out, nil) }()
	t.Cleanup(stop)
	w.waitFor("planned steps met")
	at.Store(1)
	require.NoError(t, b.until(92*time.Second))
	w.waitFor("looked at 12:00:01")
	for range 2 { // when the second one is taken, the first is done with
		ticks <- noon
	}
	at.Store(9)
	for range 2 {
		ticks <- noon
	}
	seen := w.waitFor("FP-04 silent since 12:00:01")
	assert.Contains(t, seen, "FP-03 silent since 12:00:01")
	assert.NotContains(t, seen, bell, "a bell is for a terminal")
	_ = w.end()
}

// TestAStripIsNeverBetterThanItsCell: of all that a letter stands for, what shows
// least is drawn.
func TestAStripIsNeverBetterThanItsCell(t *testing.T) {
	c := &report.Cell{}
	c.From, c.To = 30e6, 60e6
	for i := range 31 {
		state := report.Met
		switch i {
		case 10:
			state = report.NotMet
		case 20:
			state = report.NotShown
		case 25:
			state = report.MetWithDeviations
		}
		step := report.Step{State: state}
		step.Frequency = c.From
		for range i {
			step.Frequency *= 1.02337
		}
		c.Steps = append(c.Steps, step)
	}
	c.Steps = append(c.Steps[:14], c.Steps[16:]...)
	c.Holes = []report.Hole{{Hole: evaluate.Hole{From: c.Steps[13].Frequency, To: c.Steps[14].Frequency}}}
	p := &report.CellProgress{}
	for width, want := range map[int]string{
		1: `/`, 2: `/?`, 4: `#/?=`, 8: `##/..?=#`,
	} {
		assert.Equal(t, want, strip(c, p, width), width)
	}
	assert.Regexp(t, `^#+/#+\.+#+\?#+=#+$`, regexp.MustCompile(`/+`).ReplaceAllString(regexp.MustCompile(`\?+`).ReplaceAllString(
		regexp.MustCompile(`=+`).ReplaceAllString(strip(c, p, 120), "="), "?"), "/"))
	p.Waiting = map[int]bool{18: true}
	assert.Contains(t, strip(c, p, 120), "~")
	assert.NotContains(t, strip(c, p, 120), "?")
	c.Steps, c.Holes = nil, nil
	assert.Equal(t, "......", strip(c, p, 6), "no step, nothing shown")
}
