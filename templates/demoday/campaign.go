package demoday

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/report/render/book"
)

// Campaign is a long piece of work for measuring speed: 30 MHz to 18 GHz in the
// steps of MIL-STD-461G table III (1863 of them), both polarizations at several
// antenna positions, with one run each. Only one run at a time stands in memory.
type Campaign struct {
	Seed              uint64
	Positions         int // antenna positions; 4 make 8 runs
	ReadingsPerSecond int // of the field probe; 50 make 3 million rows of 4 positions
}

// Rows is how many rows of probe logs the campaign has, roughly.
func (c Campaign) Rows() int { return 2 * c.Positions * 1863 * 4 * c.ReadingsPerSecond }

// Write writes the campaign's day into the folder.
func (c Campaign) Write(dir string) error {
	b := newBench(c.shape())
	b.pace = 0.5
	b.steps = func(Range) []quantity.Frequency {
		low := frequencies(30e6, 1e9, 0.005, b.Resolution)
		return append(low, frequencies(1e9, 18e9, 0.0025, b.Resolution)[1:]...)
	}
	b.done = func(run *Run) error { return run.writeAndForget(dir) }
	if err := b.work(); err != nil {
		return err
	}
	b.day.Requirement = nil
	b.day.Sheet.Requirement.File, b.day.Sheet.Requirement.Profile = "", "mil-std-461g-rs103-ships-above-deck-navy"
	b.day.Sheet.Requirement.From, b.day.Sheet.Requirement.To = 30e6, 18e9
	return b.day.writeRest(dir)
}

// shape is the shape of the campaign's day.
func (c Campaign) shape() Shape {
	undefined := quantity.Undefined[quantity.Decibel]()
	local := TimeStyle{Clock: "2006-01-02 15:04:05.000"}
	s := Shape{Seed: c.Seed, Date: date(2026, 11, 18), Zone: time.UTC, Step: 0.005,
		Limits: []Limit{{From: 30e6, To: 18e9, LowLevel: 200, HighLevel: 200}},
		Dwell:  3 * time.Second, Modulation: quantity.Modulation{Kind: quantity.Pulse, Rate: 1e3, Amount: 0.5},
		ToleranceLow: undefined, ToleranceHigh: undefined, Guard: quantity.Undefined[quantity.Ratio](), Uncertainty: true,
		Positions: c.Positions, Resolution: 10, Parts: 1, Probes: 1, Detector: "rms", Measured: quantity.Undefined[quantity.Ratio](),
		Corrected: true, Coupler: true, PowerTimes: true, PowerSteps: true, PowerIdle: true, Motion: true, Margin: 0.4,
		PowerEvery: 500 * time.Millisecond, Axes: true, Total: true, Status: true, Battery: true,
	}
	s.Sampling.Interval = time.Second / time.Duration(c.ReadingsPerSecond)
	s.Files.Probe = Layout{Time: local, Digits: 6, Preamble: []string{"Tallholm EMC Laboratory", "Field probe FP-03"}, Blank: true}
	s.Files.Power = Layout{Workbook: true, Time: TimeStyle{Kind: SerialDate},
		Unit: map[table.Column]string{table.Forward: "dBm", table.Reflected: "dBm"}}
	s.Files.Dwell, s.Files.Motion = Layout{Time: local}, Layout{Time: local}
	s.Files.Register = Layout{Workbook: true}
	return s
}

// writeAndForget writes the records of a run and drops their rows.
func (r *Run) writeAndForget(dir string) error {
	grids := []grid{r.Dwell.grid(), r.Power.grid(), r.Motion.grid()}
	for i := range r.Probes {
		grids = append(grids, r.Probes[i].Log.grid())
	}
	for _, g := range grids {
		if err := g.create(filepath.Join(dir, filepath.FromSlash(g.file.Entry.File))); err != nil {
			return err
		}
	}
	r.Power.Rows = nil
	for i := range r.Probes {
		r.Probes[i].Log.Samples = nil
	}
	return nil
}

// writeRest writes what no run has written: job sheet, register and corrections.
func (d *Day) writeRest(dir string) error {
	if err := os.WriteFile(filepath.Join(dir, "job.toml"), []byte(d.jobSheet()), 0o644); err != nil {
		return fmt.Errorf("write day: %w", err)
	}
	run := d.Runs[0]
	for _, g := range []grid{d.Register.grid(), run.Forward.grid(), run.Reflected.grid(), run.Probes[0].Correction.grid()} {
		if err := g.create(filepath.Join(dir, filepath.FromSlash(g.file.Entry.File))); err != nil {
			return err
		}
	}
	return nil
}

// create writes the grid as a file of its own.
func (g grid) create(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("write day: %w", err)
	}
	file, err := os.Create(path)
	if err != nil {
		return fmt.Errorf("write day: %w", err)
	}
	defer file.Close() //nolint:errcheck // closed below where it counts
	out := bufio.NewWriterSize(file, 1<<20)
	if g.file.Layout.Workbook {
		var sheet book.Sheet
		if sheet, err = g.sheet(); err == nil {
			err = book.Write(out, []book.Sheet{sheet})
		}
	} else {
		err = g.writeText(out)
	}
	if err == nil {
		err = out.Flush()
	}
	if err == nil {
		err = file.Close()
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", g.file.Entry.File, err)
	}
	return nil
}
