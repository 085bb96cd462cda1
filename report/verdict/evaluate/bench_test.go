package evaluate

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/requirement"
)

// campaignRun is one run of a long campaign in memory: 1,863 visits of 4 s at 50
// readings a second.
func campaignRun(sheet *jobsheet.Run) ingest.Run {
	const visits, rate = 1863, 50
	random := rand.New(rand.NewPCG(5, 6))
	log := &record.ProbeLog{Gap: 3e9 / rate}
	run := ingest.Run{Sheet: sheet, Dwell: &record.DwellRecord{Resolution: 1}, Power: &record.PowerFile{}}
	at := quantity.InstantOf(time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC))
	f := quantity.Frequency(30e6)
	for i := range visits {
		start, end := at.Add(500*time.Millisecond), at.Add(4500*time.Millisecond)
		run.Visits = append(run.Visits, record.Visit{Row: i + 2, Frequency: f, Start: start, End: end})
		for ; at < end.Add(500*time.Millisecond); at = at.Add(time.Second / rate) {
			log.Times = append(log.Times, at)
			log.Readings = append(log.Readings, quantity.FieldStrength(210+random.Float64()))
			log.Rows = append(log.Rows, int32(len(log.Rows)+2))
			log.Faults = append(log.Faults, record.NoFault)
		}
		run.Power.Times = append(run.Power.Times, start.Add(time.Second))
		run.Power.Forward = append(run.Power.Forward, 1000)
		run.Power.Reflected = append(run.Power.Reflected, 100)
		run.Power.Rows = append(run.Power.Rows, int32(i+2))
		f *= 1.0034
	}
	run.Probes = []ingest.Probe{{Sheet: &sheet.Probes[0], Log: log}}
	return run
}

// BenchmarkEvaluateRun is the evaluation of one run of a long campaign.
func BenchmarkEvaluateRun(b *testing.B) {
	text := "title = \"t\"\nsource = \"s\"\ndwell = \"3 s\"\nmodulation = \"CW\"\n[[limit]]\nfrom = \"30 MHz\"\nto = \"18 GHz\"\nlevel = \"200 V/m\"\n" +
		"[[step]]\nfrom = \"30 MHz\"\nto = \"18 GHz\"\nmax = \"0.5 %\"\n"
	r, err := requirement.Parse([]byte(text), "requirement.toml")
	require.NoError(b, err)
	none := quantity.Undefined[quantity.Frequency]()
	r, err = r.Apply(jobsheet.Requirement{From: none, To: none, ToleranceLow: quantity.Undefined[quantity.Decibel](),
		ToleranceHigh: quantity.Undefined[quantity.Decibel](), Guard: quantity.Undefined[quantity.Ratio]()}, jobsheet.Article{Width: 1})
	require.NoError(b, err)
	field := quantity.Undefined[quantity.FieldStrength]()
	sheet := &jobsheet.Run{ID: "H1", Polarization: "horizontal", Position: 1,
		Probes: []jobsheet.Probe{{Range: jobsheet.Range[quantity.FieldStrength]{Low: field, High: field}, ModulationFactor: quantity.Undefined[quantity.Ratio]()}}}
	day := &ingest.Day{Runs: []ingest.Run{campaignRun(sheet)}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Evaluate(day, r, nil); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(day.Runs[0].Probes[0].Log.Times)), "samples/op")
}
