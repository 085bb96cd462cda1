package check

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/requirement"
	"fieldheld/templates/wording"
)

const (
	met, notMet, notShown = Met, NotMet, NotShown
	withDeviations        = MetWithDeviations
)

func TestACleanDayHasNoFindings(t *testing.T) {
	s, v := judged(t, smallDay(), nil)
	expect(t, s, v, met, 0)
	assert.Equal(t, met, v.State)
	assert.Equal(t, 5, v.Cells[0].StepsMet)
}

func TestTheSuiteAndTheSheetKnowTheSameChecks(t *testing.T) {
	var names []string
	for _, c := range Suite() {
		names = append(names, c.Name)
		assert.NotEmpty(t, c.Doc, c.Name)
	}
	assert.Equal(t, jobsheet.Checks, names)
}

// shift moves a visit's end.
func shift(day *ingest.Day, visit int, by time.Duration) {
	day.Runs[0].Visits[visit].End = day.Runs[0].Visits[visit].End.Add(by)
}

func TestEveryCheckFindsItsFault(t *testing.T) {
	probe := func(d *ingest.Day) *record.ProbeLog { return d.Runs[0].Probes[0].Log }
	for _, test := range []struct {
		name     string
		fault    func(*ingest.Day)
		state    State
		repeat   int
		findings []string
	}{
		{"level", func(d *ingest.Day) { setField(d, 2, 9) }, notMet, 1, []string{"level open H1 30.6-30.6 probe.csv:82-96"}},
		{"level, a thousandth of a decibel short", func(d *ingest.Day) { setField(d, 2, quantity.FieldStrength(10).Plus(-0.001)) }, notMet, 1,
			[]string{"level open H1 30.6-30.6 probe.csv:82-96"}},
		{"level, equal counts as met", func(d *ingest.Day) { setField(d, 2, 10) }, met, 0, nil},
		{"level, a thousandth of a decibel above", func(d *ingest.Day) { setField(d, 2, quantity.FieldStrength(10).Plus(0.001)) }, met, 0, nil},
		{"overlevel", func(d *ingest.Day) { probe(d).Readings[window(d, 1)[7]] = quantity.FieldStrength(10).Plus(6.001) }, notMet, 1,
			[]string{"overlevel open H1 30.3-30.3 probe.csv:47-61"}},
		{"overlevel, at the tolerance", func(d *ingest.Day) { probe(d).Readings[window(d, 1)[7]] = quantity.FieldStrength(10).Plus(6) }, met, 0, nil},
		{"dwell, two milliseconds short", func(d *ingest.Day) { shift(d, 0, -502*time.Millisecond) }, notMet, 1,
			[]string{"dwell open H1 30-30 probe.csv:12-21"}},
		{"dwell, one millisecond short", func(d *ingest.Day) { shift(d, 0, -501*time.Millisecond) }, met, 0, nil},
		{"dwell, long enough with two readings", func(d *ingest.Day) { thin(d, 1, 7, 8) }, notMet, 1, []string{"dwell open H1 30.3-30.3 probe.csv:54-55"}},
		{"dwell, long enough with three readings", func(d *ingest.Day) { thin(d, 1, 3, 7, 11) }, met, 0, nil},
		{"overlap, two visits share a second", func(d *ingest.Day) { shift(d, 0, time.Second+2*pause) }, notShown, 1, []string{
			"overlap note H1 30-30 dwell.csv:2-3", "overlap open H1 30.3-30.3 dwell.csv:2-3"}},
		{"overlap, ends that meet", func(d *ingest.Day) { shift(d, 0, 2*pause) }, met, 0, []string{"linearity note H1 30-30 probe.csv:12-46"}},
		{"overlap, a nanosecond without a reading", func(d *ingest.Day) {
			d.Runs[0].Visits[0].Start, d.Runs[0].Visits[0].End = d.Runs[0].Visits[0].Start.Add(1), d.Runs[0].Visits[0].End.Add(2*pause+1)
			d.Runs[0].Visits[1].Start = d.Runs[0].Visits[1].Start.Add(-1)
		}, met, 0, []string{"overlap note H1 30-30 dwell.csv:2-3", "overlap note H1 30.3-30.3 dwell.csv:2-3", "linearity note H1 30-30 probe.csv:13-47"}},
		{"coarse", func(d *ingest.Day) { d.Runs[0].Dwell.Resolution, d.Runs[0].Visits[4].Frequency = 301e3, 31.2e6 }, notShown, 0, []string{"coarse open H1 30-31 dwell.csv:2-2"}},
		{"coarse, a step as large as the resolution", func(d *ingest.Day) { d.Runs[0].Dwell.Resolution, d.Runs[0].Visits[4].Frequency = 300e3, 31.2e6 }, met, 0, nil},
		{"harmonic as strong as the reading", func(d *ingest.Day) { harmonic(d, 11) }, notShown, 1, []string{"harmonic open H1 30.3-30.3 job.toml"}},
		{"harmonic whose fundamental is not visited", func(d *ingest.Day) {
			harmonic(d, 1)
			d.Sheet.Runs[0].Harmonics[0].Frequency = 30.4e6
		}, met, 0, []string{"harmonic note H1 job.toml"}},
		{"observation", func(d *ingest.Day) {
			for i, text := range []string{"OK", "drum stopped, alarm E14", "-", "Drum stopped, alarm E14.", "no change."} {
				d.Runs[0].Visits[i].Observation = text
			}
		}, met, 0, []string{"observation open H1 dwell.csv:3-5"}},
		{"observation that an event takes up", func(d *ingest.Day) {
			d.Runs[0].Visits[1].Observation = "drum stopped"
			d.Sheet.Events = []jobsheet.Event{{Run: "H1", Frequency: 30.301e6, Threshold: 10, Observed: "drum stopped"}}
		}, met, 0, nil},
		{"observation that an event of another run does not take up", func(d *ingest.Day) {
			d.Runs[0].Visits[1].Observation = "drum stopped"
			d.Sheet.Events = []jobsheet.Event{{Frequency: 30.3e6, Threshold: 10, Observed: "drum stopped"}}
		}, met, 0, []string{"observation open H1 dwell.csv:3-3"}},
		{"observation in the laboratory's own words for nothing", func(d *ingest.Day) {
			d.Runs[0].Visits[1].Observation = "Nothing to report."
			d.Sheet.Article.NothingSeen = []string{"nothing to report"}
		}, met, 0, nil},
		{"a probe without an asset", func(d *ingest.Day) { d.Sheet.Runs[0].Probes[0].Asset = "" }, notShown, 0,
			[]string{"equipment open H1 job.toml", "record note job.toml"}},
		{"a probe whose calibration never ends", func(d *ingest.Day) { d.Equipment[0].Due = time.Time{} }, notShown, 0, []string{"calibration open H1 job.toml"}},
		{"an antenna whose calibration never ends", func(d *ingest.Day) {
			d.Equipment[1].CalibrationNotRequired, d.Equipment[1].Calibrated = false, date0(2026, 1, 1)
		}, met, 0, nil},
		{"power that cannot be", func(d *ingest.Day) {
			for _, i := range window(d, 1) {
				d.Runs[0].Power.Forward[i], d.Runs[0].Power.Reflected[i] = 5e-9, 5e-10
			}
		}, met, 0, []string{"power note H1 30.3-30.3 power.csv:47-61"}},
		{"power that cannot be, of the whole run", func(d *ingest.Day) {
			for i := range d.Runs[0].Power.Forward {
				d.Runs[0].Power.Forward[i], d.Runs[0].Power.Reflected[i] = 5e-9, 5e-10
			}
		}, met, 0, []string{"power note H1 power.csv:12-166"}},
		{"power far below the rating in the whole run", func(d *ingest.Day) {
			d.Sheet.Runs[0].ForwardMax = 50.1e6
		}, met, 0, []string{"power note H1 power.csv:12-166"}},
		{"power just above that", func(d *ingest.Day) { d.Sheet.Runs[0].ForwardMax = 49.9e6 }, met, 0, nil},
		{"power far below the rating in four of five visits", func(d *ingest.Day) {
			d.Sheet.Runs[0].ForwardMax = 50.1e6
			for _, i := range window(d, 1) {
				d.Runs[0].Power.Forward[i] = 51
			}
		}, met, 0, nil},
		{"power far below the rating where the field was not there", func(d *ingest.Day) {
			d.Sheet.Runs[0].ForwardMax = 50.1e6
			for i := range frequencies {
				setField(d, i, 5)
			}
		}, notMet, 5, []string{"level open H1 30-30 probe.csv:12-26", "level open H1 30.3-30.3 probe.csv:47-61", "level open H1 30.6-30.6 probe.csv:82-96",
			"level open H1 30.9-30.9 probe.csv:117-131", "level open H1 31-31 probe.csv:152-166"}},
		{"power rows of another frequency", func(d *ingest.Day) {
			p := d.Runs[0].Power
			p.Frequencies = make([]quantity.Frequency, len(p.Times))
			for i := range p.Frequencies {
				p.Frequencies[i] = 30.5e6
			}
			for i, f := range frequencies {
				for _, k := range window(d, i) {
					p.Frequencies[k] = f
				}
			}
			p.Frequencies[window(d, 2)[3]] = 40e6
		}, met, 0, []string{"frequency-agreement note H1 30.6-30.6 power.csv:85-85"}},
		{"step-size", func(d *ingest.Day) { drop(d, 2) }, notShown, 1, []string{"step-size open H1 30.3-30.9 dwell.csv:3-5"}},
		{"step-size, within the resolution", func(d *ingest.Day) { d.Runs[0].Visits[1].Frequency = 30.3005e6 }, met, 0, nil},
		{"step-size, beyond the resolution", func(d *ingest.Day) { d.Runs[0].Visits[1].Frequency = 30.3006e6 }, notShown, 1,
			[]string{"step-size open H1 30-30.3006 dwell.csv:2-3"}},
		{"coverage below", func(d *ingest.Day) { drop(d, 0) }, notShown, 1, []string{"coverage open H1 30-30.3 dwell.csv:3-3"}},
		{"coverage above", func(d *ingest.Day) { drop(d, 4) }, notShown, 1, []string{"coverage open H1 30.9-31 dwell.csv:5-5"}},
		{"coverage, within the resolution", func(d *ingest.Day) { d.Runs[0].Visits[4].Frequency = 30.9995e6 }, met, 0, nil},
		{"coverage, beyond the resolution", func(d *ingest.Day) { d.Runs[0].Visits[4].Frequency = 30.9994e6 }, notShown, 1,
			[]string{"coverage open H1 30.9994-31 dwell.csv:6-6"}},
		{"polarization", func(d *ingest.Day) {
			d.Sheet.Runs[0].Polarization, d.Sheet.Tunings[0].Polarization = "vertical", "vertical"
		}, notShown, 5,
			[]string{"polarization open 30-31 job.toml"}},
		{"position", func(d *ingest.Day) { d.Sheet.Runs[0].Position = 2 }, notShown, 5, []string{"position open 30-31 job.toml"}},
		{"samples", func(d *ingest.Day) { cutLog(d, 3) }, notShown, 1, []string{"samples open H1 30.9-30.9 dwell.csv:5-5"}},
		{"correction-range", func(d *ingest.Day) {
			d.Runs[0].Probes[0].Correction = &record.Correction{File: record.File{Path: "fp.csv"},
				Points: []record.CorrectionPoint{{Frequency: 30.2e6}, {Frequency: 40e6}}}
		}, notShown, 1, []string{"correction-range open H1 30-30 dwell.csv:2-2"}},
		{"modulation", func(d *ingest.Day) {
			d.Runs[0].Visits[1].Modulation = &quantity.Modulation{Kind: quantity.AM, Rate: 1000, Amount: 0.8}
			d.Sheet.Runs[0].Probes[0].Detector = "mean"
		}, notMet, 1, []string{"modulation open H1 30.3-30.3 dwell.csv:3-3"}},
		{"calibration over", func(d *ingest.Day) { d.Equipment[0].Due = date0(2026, 11, 17) }, notShown, 0, []string{"calibration open H1 job.toml"}},
		{"calibration on its last day", func(d *ingest.Day) { d.Equipment[0].Due = date0(2026, 11, 18) }, met, 0, nil},
		{"calibration after use", func(d *ingest.Day) { d.Equipment[0].Calibrated = date0(2026, 11, 19) }, notShown, 0, []string{"calibration open H1 job.toml"}},
		{"calibration not stated", func(d *ingest.Day) { d.Equipment[0].Calibrated, d.Equipment[0].Due = time.Time{}, time.Time{} }, notShown, 0,
			[]string{"calibration open H1 job.toml"}},
		{"calibration of an asset that no run names", func(d *ingest.Day) {
			d.Equipment = append(d.Equipment, ingest.Equipment{Equipment: jobsheet.Equipment{Asset: "DC-01", Role: "coupler", Due: date0(2026, 1, 1)}})
		}, notShown, 0, []string{"calibration open job.toml"}},
		{"equipment that the list lacks", func(d *ingest.Day) { d.Sheet.Runs[0].Amplifier = "PA-02" }, notShown, 0, []string{"equipment open H1 job.toml"}},
		{"equipment out of its range", func(d *ingest.Day) { d.Equipment[1].To = 30.9e6 }, notShown, 0, []string{"equipment open H1 job.toml"}},
		{"equipment at the end of its range", func(d *ingest.Day) { d.Equipment[1].To = 31e6 }, met, 0, nil},
		{"probe-fault, a short overload", func(d *ingest.Day) { probe(d).Faults[window(d, 1)[1]] = record.Marked }, met, 0,
			[]string{"probe-fault note H1 30.3-30.3 probe.csv:47-61"}},
		{"probe-fault, no stretch left", func(d *ingest.Day) { probe(d).Faults[window(d, 1)[7]] = record.Marked }, notShown, 1,
			[]string{"probe-fault open H1 30.3-30.3 probe.csv:47-61"}},
		{"probe-fault, out of range", func(d *ingest.Day) { d.Sheet.Runs[0].Probes[0].Range.High = 10.9 }, notShown, 5, []string{
			"probe-fault open H1 30-30 probe.csv:12-26", "probe-fault open H1 30.3-30.3 probe.csv:47-61", "probe-fault open H1 30.6-30.6 probe.csv:82-96",
			"probe-fault open H1 30.9-30.9 probe.csv:117-131", "probe-fault open H1 31-31 probe.csv:152-166"}},
		{"probe-fault, frozen through two visits", func(d *ingest.Day) {
			probe(d).Repeats = []record.Block{{First: window(d, 1)[0], Last: window(d, 2)[14], Column: "Ex"}}
		}, notShown, 2, []string{"probe-fault open H1 30.3-30.3 probe.csv:47-61", "probe-fault open H1 30.6-30.6 probe.csv:82-96"}},
		{"probe-fault, one value through one visit is honest", func(d *ingest.Day) {
			probe(d).Repeats = []record.Block{{First: window(d, 1)[0], Last: window(d, 2)[13], Column: "Ex"}}
		}, met, 0, nil},
		{"frequency-agreement of the log", func(d *ingest.Day) {
			probe(d).Frequencies = make([]quantity.Frequency, len(probe(d).Times))
			for i := range frequencies {
				for _, k := range window(d, i) {
					probe(d).Frequencies[k] = frequencies[i] * 1.005 // half of the largest step
				}
			}
			for _, k := range window(d, 2) {
				probe(d).Frequencies[k] = frequencies[2] * 1.0051
			}
		}, notShown, 1, []string{"frequency-agreement open H1 30.6-30.6 probe.csv:82-96"}},
		{"tuning for the other polarization", func(d *ingest.Day) { d.Sheet.Tunings[0].Polarization = "vertical" }, notMet, 0, []string{"tuning open H1 job.toml"}},
		{"tuning in another chamber", func(d *ingest.Day) { d.Sheet.Tunings[0].Chamber = "Chamber 1" }, notMet, 0, []string{"tuning open H1 job.toml"}},
		{"tuning after the run", func(d *ingest.Day) { d.Sheet.Tunings[0].Made = begun.Add(time.Hour) }, notMet, 0, []string{"tuning open H1 job.toml"}},
		{"motion during a visit", func(d *ingest.Day) {
			v := d.Runs[0].Visits[3]
			d.Runs[0].Motion.Motions[0] = record.Motion{Row: 7, Start: v.End.Add(-1), End: v.End.Add(1e9)}
		}, notMet, 0, []string{"motion open H1 30.9-30.9 motion.csv:7-7"}},
		{"motion with power between visits", func(d *ingest.Day) {
			v := d.Runs[0].Visits[3]
			d.Runs[0].Motion.Motions[0] = record.Motion{Row: 7, Start: v.End, End: v.End.Add(1e9)}
		}, notMet, 0, []string{"motion open H1 motion.csv:7-7"}},
		{"power, reflected above forward", func(d *ingest.Day) {
			for _, i := range window(d, 1) {
				d.Runs[0].Power.Reflected[i] = 51
			}
		}, met, 0, []string{"power note H1 30.3-30.3 power.csv:47-61"}},
		{"power above the rating", func(d *ingest.Day) { d.Sheet.Runs[0].ForwardMax = 49.9 }, met, 0, []string{
			"power note H1 30-30 power.csv:12-26", "power note H1 30.3-30.3 power.csv:47-61", "power note H1 30.6-30.6 power.csv:82-96",
			"power note H1 30.9-30.9 power.csv:117-131", "power note H1 31-31 power.csv:152-166"}},
		{"mismatch", func(d *ingest.Day) {
			for _, i := range window(d, 1) {
				d.Runs[0].Power.Reflected[i] = 12.51 // VSWR just above 3
			}
		}, met, 0, []string{"mismatch note H1 30.3-30.3 power.csv:47-61"}},
		{"record", func(d *ingest.Day) {
			d.Read = []record.File{{Path: "probe.csv", Problems: []record.RowProblem{{Row: 9, Kind: record.Unreadable, Reason: wording.Say("row.open-quote", nil)}}}}
		}, met, 0, []string{"record note probe.csv:9-9"}},
		{"environment", func(d *ingest.Day) {
			undefined := quantity.Undefined[quantity.Pressure]()
			d.Sheet.Environment = []jobsheet.Environment{{Temperature: 35, Pressure: undefined}, {Temperature: 35.1, Pressure: undefined}}
		}, met, 0, []string{"environment note job.toml"}},
		{"event at no visited frequency", func(d *ingest.Day) {
			d.Sheet.Events = []jobsheet.Event{{Run: "H1", Frequency: 30.45e6, Threshold: quantity.Undefined[quantity.FieldStrength]()}}
		}, met, 0, []string{"event note H1 30.45-30.45 job.toml"}},
		{"event above the level reached", func(d *ingest.Day) {
			d.Sheet.Events = []jobsheet.Event{{Frequency: 30.3e6, Threshold: 10.9}, {Run: "H1", Frequency: 30.3e6, Threshold: 11.1}}
		}, met, 0, []string{"event note H1 30.3-30.3 job.toml"}},
		{"deviation for nothing", func(d *ingest.Day) { d.Sheet.Deviations = []jobsheet.Deviation{deviation("level")} }, met, 0,
			[]string{"deviation note job.toml"}},
		{"an asset that no run names", func(d *ingest.Day) { d.Sheet.Runs[0].Antenna = "" }, met, 0, []string{"record note job.toml"}},
		{"received after the test", func(d *ingest.Day) { d.Sheet.Article.Received = date0(2026, 11, 19) }, met, 0, []string{"record note job.toml"}},
		{"a harmonic too strong", func(d *ingest.Day) {
			d.Sheet.Runs[0].Harmonics = []jobsheet.Harmonic{{Frequency: 30.3e6, Order: 3, Level: -5.9, Field: quantity.Undefined[quantity.FieldStrength]()}}
			d.Sheet.Runs[0].Probes[0].Detector = "rms"
			setField(d, 1, 13)
		}, met, 0, []string{"harmonic note H1 30.3-30.3 job.toml"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			day := smallDay()
			test.fault(day)
			s, v := judged(t, day, nil)
			expect(t, s, v, test.state, test.repeat, test.findings...)
		})
	}
}

// thin leaves only some of the readings of a visit, with a gap that spans them.
func thin(day *ingest.Day, visit int, keep ...int) {
	log, all := day.Runs[0].Probes[0].Log, window(day, visit)
	log.Gap = 4e9
	drop := map[int]bool{}
	for i, k := range all {
		drop[k] = !slices.Contains(keep, i)
	}
	var thinned record.ProbeLog
	for k := range log.Times {
		if !drop[k] {
			thinned.Times, thinned.Readings = append(thinned.Times, log.Times[k]), append(thinned.Readings, log.Readings[k])
			thinned.Rows, thinned.Faults = append(thinned.Rows, log.Rows[k]), append(thinned.Faults, log.Faults[k])
		}
	}
	log.Times, log.Readings, log.Rows, log.Faults = thinned.Times, thinned.Readings, thinned.Rows, thinned.Faults
}

// harmonic states one of the second visit's frequency.
func harmonic(day *ingest.Day, field quantity.FieldStrength) {
	day.Sheet.Runs[0].Harmonics = []jobsheet.Harmonic{{Frequency: 30.3e6, Order: 2, Field: field, Level: quantity.Undefined[quantity.Decibel]()}}
	day.Sheet.Runs[0].Probes[0].Detector = "rms"
}

// drop removes a visit.
func drop(day *ingest.Day, visit int) {
	run := &day.Runs[0]
	run.Visits = append(append([]record.Visit(nil), run.Visits[:visit]...), run.Visits[visit+1:]...)
}

// cutLog removes the samples of a visit from the log.
func cutLog(day *ingest.Day, visit int) {
	log, gone := day.Runs[0].Probes[0].Log, window(day, visit)
	first, behind := gone[0], gone[len(gone)-1]+1
	log.Times = append(log.Times[:first], log.Times[behind:]...)
	log.Readings = append(log.Readings[:first], log.Readings[behind:]...)
	log.Rows = append(log.Rows[:first], log.Rows[behind:]...)
	log.Faults = append(log.Faults[:first], log.Faults[behind:]...)
}

func deviation(covers ...string) jobsheet.Deviation {
	none := quantity.Undefined[quantity.Frequency]()
	return jobsheet.Deviation{Covers: covers, From: none, To: none, Reason: "agreed", AgreedBy: "somebody"}
}

func TestDeviations(t *testing.T) {
	between := func(d jobsheet.Deviation, from, to quantity.Frequency) jobsheet.Deviation {
		d.From, d.To = from, to
		return d
	}
	of := func(d jobsheet.Deviation, run string) jobsheet.Deviation {
		d.Run = run
		return d
	}
	hole := func(d *ingest.Day) { drop(d, 2) }
	low := func(d *ingest.Day) { setField(d, 2, 9) }
	for _, test := range []struct {
		name      string
		fault     func(*ingest.Day)
		deviation jobsheet.Deviation
		state     State
		repeat    int
		findings  []string
	}{
		{"covers a hole", hole, deviation("step-size"), withDeviations, 0, []string{"step-size accepted H1 30.3-30.9 dwell.csv:3-5"}},
		{"covers a hole in its range", hole, between(deviation("step-size"), 30.3e6, 30.9e6), withDeviations, 0, []string{"step-size accepted H1 30.3-30.9 dwell.csv:3-5"}},
		{"does not cover a hole that reaches out of its range", hole, between(deviation("step-size"), 30.3e6, 30.8e6), notShown, 1,
			[]string{"step-size open H1 30.3-30.9 dwell.csv:3-5", "deviation note job.toml"}},
		{"covers a hole of its run's cell", hole, of(deviation("step-size"), "H1"), withDeviations, 0, []string{"step-size accepted H1 30.3-30.9 dwell.csv:3-5"}},
		{"does not cover another check", hole, deviation("coverage"), notShown, 1, []string{"step-size open H1 30.3-30.9 dwell.csv:3-5", "deviation note job.toml"}},
		{"covers a step", low, deviation("level"), withDeviations, 0, []string{"level accepted H1 30.6-30.6 probe.csv:82-96"}},
		{"does not cover another step", low, between(deviation("level"), 30.7e6, 31e6), notMet, 1,
			[]string{"level open H1 30.6-30.6 probe.csv:82-96", "deviation note job.toml"}},
		{"covers a missing polarization only without a run", func(d *ingest.Day) { d.Sheet.Runs[0].Position = 2 }, of(deviation("position"), "H1"), notShown, 5,
			[]string{"position open 30-31 job.toml", "deviation note job.toml"}},
		{"covers a missing position", func(d *ingest.Day) { d.Sheet.Runs[0].Position = 2 }, deviation("position"), withDeviations, 0,
			[]string{"position accepted 30-31 job.toml"}},
		{"covers a calibration", func(d *ingest.Day) { d.Equipment[0].Due = date0(2026, 1, 1) }, of(deviation("calibration"), "H1"), withDeviations, 0,
			[]string{"calibration accepted H1 job.toml"}},
		{"with a range covers nothing that has none", func(d *ingest.Day) { d.Equipment[0].Due = date0(2026, 1, 1) }, between(deviation("calibration"), 1e6, 1e9), notShown, 0,
			[]string{"calibration open H1 job.toml", "deviation note job.toml"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			day := smallDay()
			test.fault(day)
			day.Sheet.Deviations = []jobsheet.Deviation{test.deviation}
			s, v := judged(t, day, nil)
			expect(t, s, v, test.state, test.repeat, test.findings...)
		})
	}
}

// A step is the best of its visits: what decided the others becomes a note, in
// whatever order they came.
func TestAStepIsTheBestOfItsVisits(t *testing.T) {
	for _, bad := range []int{1, 2} {
		day := smallDay()
		day.Runs[0].Visits[2].Frequency = 30.3005e6 // within q/2 of the visit before
		day.Runs[0].Visits[3].Frequency = 30.6e6
		day.Runs[0].Visits[4].Frequency = 30.9e6
		setField(day, bad, 9)
		s, v := judged(t, day, nil)
		row := map[int]string{1: "level note H1 30.3-30.3 probe.csv:47-61", 2: "level note H1 30.3005-30.3005 probe.csv:82-96"}
		expect(t, s, v, notShown, 1, row[bad], "coverage open H1 30.9-31 dwell.csv:6-6")
		assert.Equal(t, 4, v.Cells[0].StepsMet)
		assert.Equal(t, quantity.Frequency(30.3e6), s.Evaluated.Cells[0].Steps[1].Frequency, "the first of the group names the step")
	}
}

// The rate may lie 2 % off, duty and depth five percentage points.
func TestModulationHasTolerances(t *testing.T) {
	pulse := func(rate quantity.Frequency, duty quantity.Ratio) *quantity.Modulation {
		return &quantity.Modulation{Kind: quantity.Pulse, Rate: rate, Amount: duty}
	}
	for _, test := range []struct {
		name  string
		is    *quantity.Modulation
		state State
	}{
		{"as required", pulse(1000, 0.5), met},
		{"at both tolerances", pulse(1020, 0.55), met},
		{"at the lower ones", pulse(980, 0.45), met},
		{"rate beyond", pulse(1021, 0.5), notMet},
		{"duty beyond", pulse(1000, 0.551), notMet},
		{"another kind", &quantity.Modulation{Kind: quantity.AM, Rate: 1000, Amount: 0.5}, notMet},
		{"none", &quantity.Modulation{}, notMet},
	} {
		day := smallDay()
		day.Sheet.Runs[0].Probes[0].Unmodulated = true
		day.Runs[0].Visits[1].Modulation = test.is
		_, v := judged(t, day, func(r *requirement.Requirement) { r.Modulation = *pulse(1000, 0.5) })
		assert.Equal(t, test.state, v.Cells[0].State, test.name)
	}
}

// A pulse of 50 % reads lower by √2 on an rms detector. Set at 14.2 V/m unmodulated
// and then modulated, the field of 10.04 V/m reads 7.1: the first second of each
// visit, multiplied by √2 as if it had been modulated, would show a dwell.
func TestALevelSetBeforeTheModulationIsNoDwell(t *testing.T) {
	for _, test := range []struct {
		name   string
		first  int                    // readings before the modulation came on
		before quantity.FieldStrength // what they read
		after  quantity.FieldStrength
		noise  quantity.FieldStrength // added to every second reading
		want   string
	}{
		{"set in the first half", 7, 14.2, 10.04, 0, "levelling open H1 30.3-30.3 probe.csv:47-61"},
		{"ratio at the edge of what is taken for it", 7, 10.04 * 1.4142 * 1.099, 10.04, 0, "levelling open H1 30.3-30.3 probe.csv:47-61"},
		{"ratio beyond it", 7, 10.04 * 1.4142 * 1.101, 10.04, 0, ""},
		{"three readings are a part", 3, 14.2, 10.04, 0, ""},
		{"four of them last 0.3 s", 4, 14.2, 10.04, 0, "levelling open H1 30.3-30.3 probe.csv:47-61"},
		{"a level that rises", 7, 10.04, 14.2, 0, ""},
		{"an unsteady one", 7, 14.2, 10.04, 1.6, ""},
		{"an even one", 7, 10.04, 10.04, 0, ""},
	} {
		day := smallDay()
		day.Sheet.Runs[0].Probes[0].Detector = "rms"
		for k, i := range window(day, 1) {
			e := test.after
			if k < test.first {
				e = test.before
			}
			if k%2 == 1 {
				e += test.noise
			}
			day.Runs[0].Probes[0].Log.Readings[i] = e
		}
		_, v := judged(t, day, func(r *requirement.Requirement) {
			r.Modulation = quantity.Modulation{Kind: quantity.Pulse, Rate: 1000, Amount: 0.5}
			r.ToleranceHigh = quantity.Undefined[quantity.Decibel]()
		})
		got := ""
		for _, f := range v.Findings {
			if f.Check == "levelling" {
				got += brief(f)
			}
		}
		assert.Equal(t, test.want, got, test.name)
	}
}

func TestTheGuardedRuleAsksForMore(t *testing.T) {
	guarded := func(r *requirement.Requirement) { r.Rule.Guarded, r.Rule.Guard = true, 1 }
	for _, test := range []struct {
		margin quantity.Decibel // of the field; U is 1 dB
		state  State
	}{{0.999, notMet}, {1, met}, {1.001, met}} {
		day := smallDay()
		for i := range frequencies {
			setField(day, i, quantity.FieldStrength(10).Plus(test.margin))
		}
		_, v := judged(t, day, guarded)
		assert.Equal(t, test.state, v.Cells[0].State, "margin %v", test.margin)
	}
}

func TestVisitsOutsideTheRequirementHaveNoFindings(t *testing.T) {
	day := smallDay()
	extra := day.Runs[0].Visits[4]
	extra.Frequency, extra.Row = 50e6, 7
	extra.Start, extra.End = extra.End.Add(1e9), extra.End.Add(2e9)
	day.Runs[0].Visits = append(day.Runs[0].Visits, extra)
	s, v := judged(t, day, nil)
	expect(t, s, v, met, 0)
	visit := v.Runs[0].Visits[5]
	assert.Equal(t, NotRequired, visit.State)
	assert.False(t, quantity.Defined(visit.Limit))
}
