package report_test

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/report"
	"fieldheld/templates/demoday"
)

// A change of a day that changes nothing of what it says: figures and findings
// have to stay.
type change struct {
	name  string
	shape func(p *planter, s *demoday.Shape) // before the day is made; nil for none
	day   func(p *planter)                   // after it was made; nil for none
	// loose is how far figures may move, as a part of them; 0 for not at all.
	loose float64
	// runs says that findings may name other runs.
	runs bool
}

func changes() []change {
	all := func(f *demoday.Layouts) []*demoday.Layout {
		return []*demoday.Layout{&f.Probe, &f.Power, &f.Dwell, &f.Correction, &f.Motion}
	}
	each := func(set func(p *planter, l *demoday.Layout)) func(*planter, *demoday.Shape) {
		return func(p *planter, s *demoday.Shape) {
			for _, l := range all(&s.Files) {
				set(p, l)
			}
		}
	}
	return []change{
		{name: "workbooks instead of text", shape: each(func(_ *planter, l *demoday.Layout) { l.Workbook = true }), loose: 1e-12},
		{name: "semicolons and decimal commas", shape: each(func(_ *planter, l *demoday.Layout) { l.Delimiter, l.DecimalComma = ';', true })},
		{name: "tabs, UTF-16 and carriage returns", shape: each(func(_ *planter, l *demoday.Layout) {
			l.Delimiter, l.Encoding, l.LineEnd = '\t', demoday.UTF16Big, "\r\n"
		})},
		{name: "preamble and a row of units", shape: each(func(_ *planter, l *demoday.Layout) {
			l.Preamble, l.Units = []string{"Tallholm EMC Laboratory", "Operator: R. Tallholm"}, demoday.RowBelow
		})},
		{name: "German heads", shape: each(func(_ *planter, l *demoday.Layout) {
			l.Heads = map[table.Column]string{table.Time: "Zeit", table.Field: "Feldstärke", table.Frequency: "Frequenz", table.Forward: "Vorlaufleistung",
				table.Reflected: "Rücklaufleistung", table.Start: "Beginn", table.End: "Ende", table.Factor: "Korrekturfaktor"}
		})},
		{name: "English synonyms", shape: each(func(_ *planter, l *demoday.Layout) {
			l.Heads = map[table.Column]string{table.Time: "TIMESTAMP", table.Field: "Total field", table.Frequency: "freq", table.Forward: "P fwd",
				table.Reflected: "P refl", table.Start: "Begin", table.End: "Stop time", table.Factor: "Probe factor"}
		})},
		{name: "field in dBµV/m", shape: fieldUnit("dBµV/m"), loose: 1e-9},
		{name: "field in kV/m", shape: fieldUnit("kV/m"), loose: 1e-9},
		{name: "field as power density", shape: fieldUnit("mW/cm²"), loose: 1e-9},
		{name: "power in dBm", shape: func(_ *planter, s *demoday.Shape) {
			s.Files.Power.Unit = map[table.Column]string{table.Forward: "dBm", table.Reflected: "dBm"}
		}, loose: 1e-8},
		{name: "frequency in another unit", shape: func(_ *planter, s *demoday.Shape) {
			for _, l := range all(&s.Files) {
				l.Unit = withUnit(l.Unit, table.Frequency, "kHz")
			}
		}, loose: 1e-12},
		{name: "Unix seconds", shape: each(func(_ *planter, l *demoday.Layout) {
			l.Time = demoday.TimeStyle{Kind: demoday.UnixSeconds}
			l.Heads = map[table.Column]string{table.Time: "Unix time"}
		})},
		{name: "local time of another zone", shape: each(func(_ *planter, l *demoday.Layout) {
			l.Time = demoday.TimeStyle{Clock: "2006-01-02 15:04:05.000", Zone: time.FixedZone("Etc/GMT-9", 9*3600)}
		})},
		{name: "other offsets of the clocks", shape: func(p *planter, s *demoday.Shape) {
			s.ProbeClock, s.PowerClock, s.DwellClock = 2345*time.Millisecond, -777*time.Millisecond, -1001*time.Millisecond
		}},
		{name: "rows of the logs a little out of order", day: (*planter).shuffleLogs},
		{name: "rows of the power files out of order", day: (*planter).shufflePower},
		{name: "rows of corrections and register out of order", day: (*planter).shuffleTables},
		{name: "runs divided in two", day: (*planter).divideRuns, runs: true},
	}
}

func withUnit(units map[table.Column]string, c table.Column, unit string) map[table.Column]string {
	changed := map[table.Column]string{c: unit}
	for column, u := range units {
		if column != c {
			changed[column] = u
		}
	}
	return changed
}

func fieldUnit(unit string) func(*planter, *demoday.Shape) {
	return func(_ *planter, s *demoday.Shape) {
		for _, c := range []table.Column{table.Field, table.AxisX, table.AxisY, table.AxisZ} {
			s.Files.Probe.Unit = withUnit(s.Files.Probe.Unit, c, unit)
		}
	}
}

// plain is a shape whose files are plain text with many digits, so that another
// manner of writing them says the same.
func plain(seed uint64) demoday.Shape {
	s := demoday.RandomShape(seed)
	s.Files = demoday.Layouts{Probe: demoday.Layout{Digits: 13}, Power: demoday.Layout{Digits: 13}}
	s.StateStep, s.Durations, s.SharedPower, s.LogSteps = true, false, false, false
	s.Resolution = 1e3
	return s
}

// damaged makes the day of a shape with a few faults in it, so that there are
// findings to compare. They are chosen by the seed alone.
func damaged(s demoday.Shape, seed uint64) *planter {
	p := newPlanter(s.Day(), seed)
	p.level(-0.3)
	p.noSamples()
	p.missingStep()
	p.tooWarm()
	return p
}

func TestFiguresStayHoweverTheyAreWritten(t *testing.T) {
	for k, c := range changes() {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			for i := range uint64(days(20) / 10) { // each change builds two days
				seed := 2_000_000 + 1000*uint64(k) + i
				before := buildMadeUp(t, damaged(plain(seed), seed).day, "before")
				shape := plain(seed)
				if c.shape != nil {
					c.shape(newPlanter(shape.Day(), seed), &shape)
				}
				p := damaged(shape, seed)
				if c.day != nil {
					c.day(p)
				}
				after := buildMadeUp(t, p.day, "after")
				require.NotEmpty(t, before.Findings)
				sameFindings(t, before, after, c.runs)
				sameCells(t, before, after)
				sameFigures(t, before, after, c.loose)
			}
		})
	}
}

// sameFindings compares check, state, run and range of the findings; rows and
// files may have moved.
func sameFindings(t *testing.T, before, after *report.Report, otherRuns bool) {
	t.Helper()
	keys := func(r *report.Report) []string {
		var list []string
		for _, f := range r.Findings {
			run := f.Run
			if otherRuns {
				run = ""
			}
			list = append(list, fmt.Sprintf("%s %s %q %s %d %.6g %.6g", f.Check, f.State, run, f.Polarization, f.Position, float64(f.From), float64(f.To)))
		}
		slices.Sort(list)
		return list
	}
	assert.Equal(t, keys(before), keys(after))
}

func sameCells(t *testing.T, before, after *report.Report) {
	t.Helper()
	require.Len(t, after.Cells, len(before.Cells))
	assert.Equal(t, before.State, after.State)
	for i := range before.Cells {
		a, b := &before.Cells[i], &after.Cells[i]
		assert.Equal(t, []any{a.State, len(a.Steps), a.StepsMet, len(a.Holes)}, []any{b.State, len(b.Steps), b.StepsMet, len(b.Holes)})
	}
	assert.Equal(t, len(before.Repeat), len(after.Repeat))
}

// sameFigures compares the figures of every visit, found by its start.
func sameFigures(t *testing.T, before, after *report.Report, loose float64) {
	t.Helper()
	figures := func(r *report.Report) map[quantity.Instant][]float64 {
		all := map[quantity.Instant][]float64{}
		for i := range r.Runs {
			for _, v := range r.Runs[i].Visits {
				all[v.Record.Start] = []float64{float64(v.Frequency()), float64(v.Limit), float64(v.Sustained), float64(v.Minimum), float64(v.Median),
					float64(v.Maximum), float64(v.Held), float64(v.Power.Forward), float64(v.Power.Reflected), float64(v.Power.VSWR), float64(v.Samples), float64(v.State)}
			}
		}
		return all
	}
	names := []string{"frequency", "limit", "sustained", "minimum", "median", "maximum", "held", "forward", "reflected", "VSWR", "samples", "state"}
	a, b := figures(before), figures(after)
	require.Len(t, b, len(a))
	for start, x := range a {
		y := b[start]
		require.NotNil(t, y, "a visit is lost")
		for i := range x {
			if math.IsNaN(x[i]) && math.IsNaN(y[i]) || math.Abs(x[i]-y[i]) <= loose*math.Abs(x[i]) {
				continue
			}
			assert.Fail(t, "a figure moved", "%s of the visit at %v: %v, then %v", names[i], quantity.Frequency(x[0]), x[i], y[i])
		}
	}
}

// shuffleLogs exchanges neighbouring rows of the probe logs, which lie closer
// than the longest gap.
func (p *planter) shuffleLogs() {
	seen := map[*demoday.ProbeLog]bool{}
	for _, run := range p.day.Runs {
		for i := range run.Probes {
			log := run.Probes[i].Log
			if seen[log] {
				continue
			}
			seen[log] = true
			gap := p.gap(log)
			for k := 0; k+1 < len(log.Samples); k += 2 + p.IntN(3) {
				if log.Samples[k+1].At.Sub(log.Samples[k].At) < gap {
					log.Samples[k], log.Samples[k+1] = log.Samples[k+1], log.Samples[k]
				}
			}
		}
	}
}

func (p *planter) shufflePower() {
	for _, run := range p.day.Runs {
		if run.Power == nil {
			continue
		}
		rows := run.Power.Rows
		p.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	}
}

func (p *planter) shuffleTables() {
	assets := p.day.Register.Assets
	p.Shuffle(len(assets), func(i, j int) { assets[i], assets[j] = assets[j], assets[i] })
	for _, run := range p.day.Runs {
		for i := range run.Probes {
			if c := run.Probes[i].Correction; c != nil {
				p.Shuffle(len(c.Points), func(i, j int) { c.Points[i], c.Points[j] = c.Points[j], c.Points[i] })
			}
		}
	}
}

// divideRuns makes two runs of each, with the same files but for a dwell record
// of their own.
func (p *planter) divideRuns() {
	var divided []*demoday.Run
	for _, run := range p.day.Runs {
		visits, _ := run.Visits()
		middle := len(visits) / 2
		for part, own := range [][]*demoday.Visit{visits[:middle], visits[middle:]} {
			half, dwell := *run, *run.Dwell
			half.Sheet.ID += fmt.Sprint("-", part+1)
			dwell.Entry.File = fmt.Sprintf("dwell/%s.csv", half.Sheet.ID)
			dwell.Visits = nil
			for _, v := range own {
				moved := *v
				moved.Run = half.Sheet.ID
				dwell.Visits = append(dwell.Visits, moved)
			}
			half.Dwell = &dwell
			divided = append(divided, &half)
		}
	}
	p.day.Runs = divided
}
