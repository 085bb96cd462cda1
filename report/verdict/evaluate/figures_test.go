package evaluate

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/requirement"
)

// Linear in dB over the logarithm of frequency: a factor of 1.00 at 100 MHz and
// of 1.20 at 200 MHz is 1.1125 at 150 MHz (computed; no source).
func TestCorrectionsRunStraightInDecibels(t *testing.T) {
	table := &record.Correction{Points: []record.CorrectionPoint{{Frequency: 100e6, Factor: 0}, {Frequency: 200e6, Factor: quantity.Ratio(1.2).FieldDecibel()}}}
	for _, test := range []struct {
		f    quantity.Frequency
		want float64
	}{{100e6, 1}, {150e6, 1.1125}, {200e6, 1.2}, {200e6 * (1 + 0.9e-9), 1.2}, {100e6 * (1 - 0.9e-9), 1}} {
		assert.InDelta(t, test.want, float64(table.At(test.f).FieldFactor()), 5e-5, test.f.String())
	}
	for _, outside := range []quantity.Frequency{99.9e6, 200.1e6, 200e6 * (1 + 2e-9)} {
		assert.False(t, quantity.Defined(table.At(outside)), "%s: nothing is extrapolated", outside)
	}
}

// steady is a run of one visit of 4 s in which each probe reads one value, ten
// times a second.
func steady(readings ...quantity.FieldStrength) (*jobsheet.Run, ingest.Run) {
	start := time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC)
	none := quantity.Undefined[quantity.FieldStrength]()
	sheet := &jobsheet.Run{ID: "H1", Polarization: "horizontal", Position: 1}
	run := ingest.Run{Sheet: sheet, Dwell: &record.DwellRecord{},
		Visits: []record.Visit{{Row: 2, Frequency: 100e6, Start: quantity.InstantOf(start), End: quantity.InstantOf(start.Add(4 * time.Second))}}}
	for range readings {
		sheet.Probes = append(sheet.Probes, jobsheet.Probe{ModulationFactor: quantity.Undefined[quantity.Ratio](),
			Range: jobsheet.Range[quantity.FieldStrength]{Low: none, High: none}})
	}
	for i, reading := range readings {
		log := &record.ProbeLog{Gap: 3e8}
		for at := start; at.Before(start.Add(4 * time.Second)); at = at.Add(100 * time.Millisecond) {
			log.Times = append(log.Times, quantity.InstantOf(at))
			log.Rows = append(log.Rows, int32(len(log.Rows)+2))
			log.Readings = append(log.Readings, reading)
			log.Faults = append(log.Faults, record.NoFault)
		}
		run.Probes = append(run.Probes, ingest.Probe{Sheet: &sheet.Probes[i], Log: log})
	}
	return sheet, run
}

func oneVisit(t *testing.T, run ingest.Run, change func(*requirement.Requirement)) *Visit {
	t.Helper()
	r := &requirement.Requirement{Limits: []requirement.Limit{{From: 99e6, To: 101e6, LowLevel: 20, HighLevel: 20, Polarizations: []quantity.Polarization{"horizontal"}}},
		Steps: []requirement.StepRule{{From: 99e6, To: 101e6, Max: 0.1}}, Dwell: 3 * time.Second, Sensors: "every", Positions: 1, MinSamples: 3,
		ToleranceHigh: quantity.Undefined[quantity.Decibel]()}
	if change != nil {
		change(r)
	}
	day, err := Evaluate(&ingest.Day{Runs: []ingest.Run{run}}, r, nil)
	require.NoError(t, err)
	return day.Runs[0].Visits[0]
}

// MIL-STD-461G A.5.21 averages several sensors: 30, 22 and 35 V/m give 29 V/m.
func TestSeveralProbes(t *testing.T) {
	_, run := steady(30, 22, 35)
	visit := oneVisit(t, run, func(r *requirement.Requirement) { r.Sensors = "mean" })
	assert.InDelta(t, 29, float64(visit.Sustained), 1e-9)
	assert.InDelta(t, 29, float64(visit.Maximum), 1e-9)

	visit = oneVisit(t, run, nil)
	assert.Equal(t, quantity.FieldStrength(22), visit.Sustained)
	assert.Equal(t, quantity.FieldStrength(22), visit.Median)
	assert.Equal(t, quantity.FieldStrength(35), visit.Maximum)
	assert.Equal(t, 1, visit.Deciding)
	assert.EqualValues(t, 3*40, visit.Samples)

	run.Probes[2].Log.Times = nil
	run.Probes[2].Log.Readings = nil
	visit = oneVisit(t, run, nil)
	assert.False(t, quantity.Defined(visit.Sustained), "a figure that one probe lacks is undefined")
	assert.False(t, quantity.Defined(visit.Maximum))
	assert.Equal(t, quantity.FieldStrength(22), visit.Available, "what the other probes show is judged")
	assert.Equal(t, quantity.FieldStrength(30), visit.Known)
	assert.Zero(t, visit.Held)
}

// MIL-STD-461G A.4.3.10.1: a field of 10 V/m that reads 5 V/m with the modulation
// on has a factor of 2, so that 10 V/m indicated are 20 V/m.
func TestAMeasuredModulationFactorReplacesTheTable(t *testing.T) {
	sheet, run := steady(10)
	sheet.Modulation = &quantity.Modulation{Kind: quantity.Pulse, Rate: 1e3, Amount: 0.5}
	sheet.Probes[0].ModulationFactor = 2
	assert.Equal(t, quantity.FieldStrength(20), oneVisit(t, run, nil).Sustained)
	sheet.Probes[0].ModulationFactor, sheet.Probes[0].Detector = quantity.Undefined[quantity.Ratio](), "rms"
	assert.InDelta(t, 10*math.Sqrt2, float64(oneVisit(t, run, nil).Sustained), 1e-9)
	sheet.Probes[0].Unmodulated = true
	assert.Equal(t, quantity.FieldStrength(10), oneVisit(t, run, nil).Sustained)
}

// Common practice, no source: a third harmonic of 0.475 V/m beside a fundamental
// of 14.8 V/m is 30 dB down and lifts the reading of a broadband probe by 0.05 %.
func TestHarmonicsAreTakenOff(t *testing.T) {
	reading := quantity.FieldStrength(math.Hypot(14.8, 0.475))
	assert.InDelta(t, 1.0005, float64(reading/14.8), 5e-5)
	assert.InDelta(t, -30, float64(quantity.FieldStrength(0.475).Over(14.8)), 0.2)
	for name, harmonic := range map[string]jobsheet.Harmonic{
		"as a field": {Frequency: 100e6, Order: 3, Field: 0.475, Level: quantity.Undefined[quantity.Decibel]()},
		"as a level": {Frequency: 100e6, Order: 3, Level: quantity.FieldStrength(0.475).Over(14.8), Field: quantity.Undefined[quantity.FieldStrength]()},
	} {
		sheet, run := steady(reading)
		sheet.Probes[0].Detector = "rms"
		sheet.Harmonics = []jobsheet.Harmonic{harmonic}
		visit := oneVisit(t, run, nil)
		assert.InDelta(t, 14.8, float64(visit.Sustained), 1e-9, name)
		assert.InDelta(t, 14.8, float64(visit.Median), 1e-9, name)
		sheet.Probes[0].Detector = "peak"
		assert.Equal(t, reading, oneVisit(t, run, nil).Sustained, "only an rms detector adds powers")
	}
}

// 2:1 is an ordinary mismatch of a tunable antenna and returns 11 % of the power
// (common practice, no source); the square law gives the power for the limit.
func TestPowerFigures(t *testing.T) {
	_, run := steady(18)
	start := run.Visits[0].Start
	run.Power = &record.PowerFile{File: record.File{Path: "p.csv"}}
	for i := range 4 {
		run.Power.Times = append(run.Power.Times, start.Add(time.Duration(i)*time.Second))
		run.Power.Rows = append(run.Power.Rows, int32(i+2))
		run.Power.Forward = append(run.Power.Forward, 10)
		run.Power.Reflected = append(run.Power.Reflected, 10.0/9)
	}
	visit := oneVisit(t, run, nil)
	assert.InDelta(t, 2, float64(visit.Power.VSWR), 1e-9)
	assert.InDelta(t, 10-10.0/9, float64(visit.Power.Net), 1e-9)
	assert.InDelta(t, 18/math.Sqrt(10), visit.Power.PerRootWatt, 1e-9)
	assert.InDelta(t, 10*(20.0/18)*(20.0/18), float64(visit.Power.ForLimit), 1e-9)
	assert.Equal(t, RowRange{First: 2, Last: 5}, visit.Power.Rows)

	// 10 W read about 18 V/m, so that 200 V/m take about 1.2 kW.
	needed := 10 * math.Pow(200.0/18, 2)
	assert.InDelta(t, 1235, needed, 1)

	run.ForwardCorrection = &record.Correction{File: record.File{Path: "c.csv"}, Points: []record.CorrectionPoint{{Frequency: 1e6, Factor: 10}, {Frequency: 99e6, Factor: 10}}}
	visit = oneVisit(t, run, nil)
	assert.False(t, quantity.Defined(visit.Power.Forward), "a table that does not reach leaves no power")
	assert.Equal(t, []string{"c.csv"}, visit.Power.OutOfTable)
}

func TestPowerByFrequencyTakesTheNearestWithinReach(t *testing.T) {
	_, run := steady(18)
	run.Power = &record.PowerFile{Frequencies: []quantity.Frequency{99.98e6, 100.005e6, 100.005e6, 100.02e6}, Forward: []quantity.Power{1, 2, 4, 8}, Rows: []int32{2, 3, 4, 5}}
	assert.Equal(t, quantity.Power(3), oneVisit(t, run, nil).Power.Forward)
	run.Power.Frequencies = []quantity.Frequency{99.98e6, 100.02e6, 100.02e6, 100.02e6}
	assert.Zero(t, oneVisit(t, run, nil).Power.Count, "2·10⁻⁴ is too far")
	run.Dwell.Resolution = 20e3
	assert.Equal(t, 1, oneVisit(t, run, nil).Power.Count, "within the resolution of the dwell record")
}

func TestSettlingTimeDoesNotCount(t *testing.T) {
	_, run := steady(25)
	visit := oneVisit(t, run, func(r *requirement.Requirement) { r.Settle = 1100 * time.Millisecond })
	assert.False(t, quantity.Defined(visit.Sustained), "2.9 s are left")
	assert.InDelta(t, 2.9, float64(visit.Held), 1e-9)
	assert.EqualValues(t, 29, visit.Samples)
}
