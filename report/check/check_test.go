package check

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/evaluate"
	"fieldheld/report/requirement"
)

const (
	met, notMet, notShown = evaluate.Met, evaluate.NotMet, evaluate.NotShown
	withDeviations        = evaluate.MetWithDeviations
)

func TestACleanDayHasNoFindings(t *testing.T) {
	s, v := judged(t, smallDay(), nil)
	expect(t, s, v, met, 0)
	assert.Equal(t, met, v.State)
	assert.Equal(t, 5, s.Evaluated.Cells[0].StepsMet)
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
		state    evaluate.State
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
		{"step-size", func(d *ingest.Day) { drop(d, 2) }, notShown, 1, []string{"step-size open H1 30.3-30.9 dwell.csv:3-5"}},
		{"step-size, within the resolution", func(d *ingest.Day) { d.Runs[0].Visits[1].Frequency = 30.301e6 }, met, 0, nil},
		{"step-size, beyond the resolution", func(d *ingest.Day) { d.Runs[0].Visits[1].Frequency = 30.3011e6 }, notShown, 1,
			[]string{"step-size open H1 30-30.3011 dwell.csv:2-3"}},
		{"coverage below", func(d *ingest.Day) { drop(d, 0) }, notShown, 1, []string{"coverage open H1 30-30.3 dwell.csv:3-3"}},
		{"coverage above", func(d *ingest.Day) { drop(d, 4) }, notShown, 1, []string{"coverage open H1 30.9-31 dwell.csv:5-5"}},
		{"coverage, within the resolution", func(d *ingest.Day) { d.Runs[0].Visits[4].Frequency = 30.999e6 }, met, 0, nil},
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
			"probe-fault open H1 30.9-30.9 probe.csv:117-131", "probe-fault open H1 31-31 probe.csv:152-166",
			"samples open H1 30-30 dwell.csv:2-2", "samples open H1 30.3-30.3 dwell.csv:3-3", "samples open H1 30.6-30.6 dwell.csv:4-4",
			"samples open H1 30.9-30.9 dwell.csv:5-5", "samples open H1 31-31 dwell.csv:6-6"}},
		{"probe-fault, frozen through two visits", func(d *ingest.Day) {
			probe(d).Repeats = []record.Block{{First: window(d, 1)[0], Last: window(d, 2)[14], Column: "Ex"}}
		}, notShown, 2, []string{"probe-fault open H1 30.3-30.3 probe.csv:47-61", "probe-fault open H1 30.6-30.6 probe.csv:82-96",
			"samples open H1 30.3-30.3 dwell.csv:3-3", "samples open H1 30.6-30.6 dwell.csv:4-4"}},
		{"probe-fault, one value through one visit is honest", func(d *ingest.Day) {
			probe(d).Repeats = []record.Block{{First: window(d, 1)[0], Last: window(d, 2)[13], Column: "Ex"}}
		}, met, 0, nil},
		{"frequency-agreement of the log", func(d *ingest.Day) {
			probe(d).Frequencies = make([]quantity.Frequency, len(probe(d).Times))
			for i := range frequencies {
				for _, k := range window(d, i) {
					probe(d).Frequencies[k] = frequencies[i] * 1.02
				}
			}
			for _, k := range window(d, 2) {
				probe(d).Frequencies[k] = frequencies[2] * 1.0201
			}
		}, notMet, 1, []string{"frequency-agreement open H1 30.6-30.6 probe.csv:82-96"}},
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
			d.Read = []record.File{{Path: "probe.csv", Problems: []record.RowProblem{{Row: 9, Kind: record.Unreadable, Reason: "no number"}}}}
		}, met, 0, []string{"record note probe.csv:9-9"}},
		{"record, visits overlap", func(d *ingest.Day) { shift(d, 0, 3600*time.Millisecond) }, met, 0,
			[]string{"record note H1 dwell.csv:3-3"}},
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
		state     evaluate.State
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
		day.Runs[0].Visits = append(day.Runs[0].Visits, day.Runs[0].Visits[4])
		day.Runs[0].Visits[4].Frequency = 30.9e6
		day.Runs[0].Visits[5].Row = 7
		setField(day, bad, 9)
		s, v := judged(t, day, nil)
		row := map[int]string{1: "level note H1 30.3-30.3 probe.csv:47-61", 2: "level note H1 30.3005-30.3005 probe.csv:82-96"}
		expect(t, s, v, met, 0, row[bad], "record note H1 dwell.csv:7-7")
		assert.Equal(t, 5, s.Evaluated.Cells[0].StepsMet)
		assert.Equal(t, quantity.Frequency(30.3e6), s.Evaluated.Cells[0].Steps[1].Frequency, "the first of the group names the step")
	}
}

func TestTheGuardedRuleAsksForMore(t *testing.T) {
	guarded := func(r *requirement.Requirement) { r.Rule.Guarded, r.Rule.Guard = true, 1 }
	for _, test := range []struct {
		margin quantity.Decibel // of the field; U is 1 dB
		state  evaluate.State
	}{{0.999, notMet}, {1, met}, {1.001, met}} {
		day := smallDay()
		for i := range frequencies {
			setField(day, i, quantity.FieldStrength(10).Plus(test.margin))
		}
		s, _ := judged(t, day, guarded)
		assert.Equal(t, test.state, s.Evaluated.Cells[0].State, "margin %v", test.margin)
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
	visit := s.Evaluated.Runs[0].Visits[5]
	assert.Equal(t, evaluate.NotRequired, visit.State)
	assert.False(t, quantity.Defined(visit.Limit))
}
