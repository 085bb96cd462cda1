package main

import (
	"context"
	"io"
	"os"
	"os/signal"
	"slices"
	"syscall"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/watch"
	"fieldheld/report"
)

// glance is what one look at a day saw.
type glance struct {
	at      time.Time
	took    time.Duration
	report  *report.Report // nil where nothing could be evaluated
	runs    []jobsheet.Run // that the job sheet names, with those that cannot be read yet
	pending place.Messages // what cannot be read yet
	fault   error          // why nothing could be evaluated
}

// clock is the time by which a day is watched: the machine's, or that of a test.
type clock struct {
	now   func() time.Time
	ticks <-chan time.Time // when to look whether the logs still grow
}

// machineClock is the machine's own clock; stop it after use.
func machineClock() (c clock, stop func()) {
	ticker := time.NewTicker(time.Second)
	return clock{time.Now, ticker.C}, ticker.Stop
}

// watchDay checks a day again whenever a file of it changes, until it is
// interrupted, and looks at every tick whether its logs still grow. It ends as a
// check of the day as it was last seen would.
func watchDay(ctx context.Context, dir string, pace watch.Pace, by clock, out io.Writer, each func(*report.Report) error) error {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	changes, err := watch.Changes(ctx, dir, pace)
	if err != nil {
		return err
	}
	resized, leave := resizes()
	defer leave()
	logs, screen := newGrowth(dir), newScreen(out, dir)
	defer screen.leave()
	for {
		g := glanceAt(dir, by.now)
		if g.report != nil && each != nil {
			if err := each(g.report); err != nil {
				return err
			}
		}
		at := by.now()
		logs.look(g.runs, at)
		if err := screen.show(sightOf(&g, logs, at), true); err != nil {
			return err
		}
		for again := false; !again; {
			select {
			case _, open := <-changes:
				if !open {
					return g.verdict()
				}
				again = true
				continue
			case <-by.ticks:
			case <-resized:
			}
			at := by.now()
			logs.look(g.runs, at)
			if err := screen.show(sightOf(&g, logs, at), false); err != nil {
				return err
			}
		}
	}
}

// glanceAt evaluates what can be read of a day.
func glanceAt(dir string, now func() time.Time) glance {
	g := glance{at: now()}
	folder, err := ingest.Open(dir)
	if err != nil {
		g.fault = err
		return g
	}
	defer folder.Close()
	g.runs = slices.Clone(folder.Sheet.Runs) // the sheet loses those that cannot be read
	g.report, g.pending, g.fault = report.BuildSoFar(folder, program())
	if g.fault != nil {
		g.report = nil
	}
	g.took = now().Sub(g.at)
	return g
}

// verdict is how a check of the day would end.
func (g *glance) verdict() error {
	switch {
	case g.fault != nil:
		return g.fault
	case len(g.pending) > 0:
		return g.pending.Err()
	}
	return verdict(g.report)
}

// whole reports whether the verdict is one on the whole day.
func (g *glance) whole() bool { return g.fault == nil && len(g.pending) == 0 }
