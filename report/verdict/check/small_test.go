package check

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

// smallRequirement asks for 10 V/m from 30 to 31 MHz in steps of 1 %, 1 s each.
const smallRequirement = `title = "Small"
source = "a test"
dwell = "1 s"
modulation = "CW"
[tolerance]
low = "0 dB"
high = "6 dB"
[[limit]]
from = "30 MHz"
to = "31 MHz"
level = "10 V/m"
polarizations = ["horizontal"]
[[step]]
from = "30 MHz"
to = "31 MHz"
max = "1 %"
`

var (
	begun       = time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC)
	frequencies = []quantity.Frequency{30e6, 30.3e6, 30.6e6, 30.9e6, 31e6}
)

const (
	sampling  = 100 * time.Millisecond
	visitTime = 1500 * time.Millisecond
	pause     = time.Second
)

// smallDay is a clean day in memory: run H1 visits five frequencies with one
// probe at ten readings a second, field on half a second before and after.
func smallDay() *ingest.Day {
	sheet := &jobsheet.Sheet{}
	sheet.Place.File = "job.toml"
	sheet.Report.Zone = time.UTC
	sheet.Site.Chamber = "Chamber 2"
	none := quantity.Undefined[quantity.Frequency]()
	sheet.Equipment = []jobsheet.Equipment{
		{Asset: "FP-03", Role: "field probe", Calibrated: date0(2026, 3, 2), Due: date0(2027, 3, 2), From: none, To: none},
		{Asset: "AN-07", Role: "antenna", CalibrationNotRequired: true, From: 20e6, To: 200e6},
	}
	sheet.Tunings = []jobsheet.Tuning{{Name: "T-H", Polarization: "horizontal", Chamber: "Chamber 2", Made: begun.Add(-time.Hour)}}
	sheet.Requirement.MismatchLimit = 3
	sheet.Limits.Temperature = jobsheet.Range[quantity.Temperature]{Low: 15, High: 35}
	nan := quantity.Undefined[quantity.FieldStrength]()
	sheet.Runs = []jobsheet.Run{{ID: "H1", Polarization: "horizontal", Position: 1, Antenna: "AN-07", Tuning: "T-H", ForwardMax: 100,
		Probes: []jobsheet.Probe{{Asset: "FP-03", Range: jobsheet.Range[quantity.FieldStrength]{Low: nan, High: 500},
			ModulationFactor: quantity.Undefined[quantity.Ratio]()}}}}
	day := &ingest.Day{Sheet: sheet, Runs: []ingest.Run{smallRun(&sheet.Runs[0])}}
	for _, e := range sheet.Equipment {
		day.Equipment = append(day.Equipment, ingest.Equipment{Equipment: e})
	}
	return day
}

func date0(year int, month time.Month, day int) time.Time {
	return time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
}

func smallRun(sheet *jobsheet.Run) ingest.Run {
	run := ingest.Run{Sheet: sheet, Dwell: &record.DwellRecord{File: record.File{Path: "dwell.csv"}, Resolution: 1e3},
		Power:  &record.PowerFile{File: record.File{Path: "power.csv"}},
		Motion: &record.MotionRecord{File: record.File{Path: "motion.csv"}}}
	log := &record.ProbeLog{File: record.File{Path: "probe.csv"}, Gap: 3 * float64(sampling)}
	start := begun.Add(10 * time.Second)
	for i, f := range frequencies {
		end := start.Add(visitTime)
		run.Visits = append(run.Visits, record.Visit{Row: i + 2, Frequency: f, Start: quantity.InstantOf(start), End: quantity.InstantOf(end), Run: "H1"})
		for t := start.Add(-pause); t.Before(end.Add(pause)); t = t.Add(sampling) {
			on := !t.Before(start.Add(-pause/2)) && t.Before(end.Add(pause/2))
			log.Times = append(log.Times, quantity.InstantOf(t))
			log.Rows = append(log.Rows, int32(len(log.Rows)+2))
			log.Faults = append(log.Faults, record.NoFault)
			field, forward, reflected := quantity.FieldStrength(0.1), quantity.Power(1e-6), quantity.Power(1e-7)
			if on {
				field, forward, reflected = 11, 50, 5
			}
			log.Readings = append(log.Readings, field)
			run.Power.Times = append(run.Power.Times, quantity.InstantOf(t))
			run.Power.Rows = append(run.Power.Rows, int32(len(run.Power.Rows)+2))
			run.Power.Forward = append(run.Power.Forward, forward)
			run.Power.Reflected = append(run.Power.Reflected, reflected)
		}
		start = end.Add(2 * pause)
	}
	run.Probes = []ingest.Probe{{Sheet: &sheet.Probes[0], Log: log}}
	run.Dwell.Visits = run.Visits
	run.Motion.Motions = []record.Motion{{Row: 2, Start: quantity.InstantOf(begun), End: quantity.InstantOf(begun.Add(time.Second))}}
	return run
}

// window returns the indices of the samples of a visit.
func window(day *ingest.Day, visit int) []int {
	v := day.Runs[0].Visits[visit]
	var list []int
	for i, t := range day.Runs[0].Probes[0].Log.Times {
		if t >= v.Start && t < v.End {
			list = append(list, i)
		}
	}
	return list
}

// setField gives every sample of a visit one reading.
func setField(day *ingest.Day, visit int, e quantity.FieldStrength) {
	for _, i := range window(day, visit) {
		day.Runs[0].Probes[0].Log.Readings[i] = e
	}
}

func judged(t *testing.T, day *ingest.Day, change func(*requirement.Requirement)) (*Subject, Verdict) {
	t.Helper()
	r, err := requirement.Parse([]byte(smallRequirement), "requirement.toml")
	require.NoError(t, err)
	r, err = r.Apply(jobsheet.Requirement{From: quantity.Undefined[quantity.Frequency](), To: quantity.Undefined[quantity.Frequency](),
		ToleranceLow: quantity.Undefined[quantity.Decibel](), ToleranceHigh: quantity.Undefined[quantity.Decibel](),
		Guard: quantity.Undefined[quantity.Ratio]()}, jobsheet.Article{Width: 1})
	require.NoError(t, err)
	if change != nil {
		change(r)
	}
	stated := uncertainty.State([]uncertainty.Contribution{{Name: "probe", Value: 1, Divisor: 2, Sensitivity: 1, DegreesOfFreedom: math.Inf(1)}}, 2)
	evaluated, err := evaluate.Evaluate(day, r, stated)
	require.NoError(t, err)
	s := &Subject{Day: day, Evaluated: evaluated, Requirement: r}
	return s, Judge(s)
}

// brief writes a finding in one line, without its message.
func brief(f Finding) string {
	text := fmt.Sprintf("%s %s", f.Check, f.State)
	if f.Run != "" {
		text += " " + f.Run
	}
	if quantity.Defined(f.From) {
		text += fmt.Sprintf(" %.6g-%.6g", float64(f.From)/1e6, float64(f.To)/1e6)
	}
	for _, e := range f.Evidence {
		text += fmt.Sprintf(" %s", e.File)
		if e.First > 0 {
			text += fmt.Sprintf(":%d-%d", e.First, e.Last)
		}
	}
	return text
}

// expect demands exactly these findings, this state of the one cell, and this
// number of frequencies to repeat.
func expect(t *testing.T, s *Subject, v Verdict, state State, repeat int, findings ...string) {
	t.Helper()
	got := []string{}
	for _, f := range v.Findings {
		got = append(got, brief(f))
		assert.NotEmpty(t, f.Message(), "a finding says what it is: %s", brief(f))
	}
	if findings == nil {
		findings = []string{}
	}
	assert.ElementsMatch(t, findings, got)
	assert.Equal(t, state, v.Cells[0].State, "state of the cell: %s", v.Cells[0].State)
	assert.Len(t, v.Repeat, repeat, "what to repeat")
}
