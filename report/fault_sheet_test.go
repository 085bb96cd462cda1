package report_test

import (
	"slices"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/templates/demoday"
)

// sheetFaults are things that the job sheet and the register say or leave out.
func sheetFaults() []fault {
	return []fault{
		{name: "probe out of calibration the day before", plant: func(p *planter) ([]expectation, bool) {
			return p.calibration(func(a *record.Asset) { a.Due = p.shape.Date.AddDate(0, 0, -1) }, true)
		}},
		{name: "probe due on the day", plant: func(p *planter) ([]expectation, bool) {
			return p.calibration(func(a *record.Asset) { a.Due = p.shape.Date }, false)
		}},
		{name: "probe calibrated the day after", plant: func(p *planter) ([]expectation, bool) {
			return p.calibration(func(a *record.Asset) { a.Calibrated, a.Due = p.shape.Date.AddDate(0, 0, 1), time.Time{} }, true)
		}},
		{name: "probe calibrated on the day", plant: func(p *planter) ([]expectation, bool) {
			return p.calibration(func(a *record.Asset) { a.Calibrated, a.Due = p.shape.Date, p.shape.Date.AddDate(1, 0, 0) }, false)
		}},
		{name: "probe whose calibration never ends", plant: func(p *planter) ([]expectation, bool) {
			return p.calibration(func(a *record.Asset) { a.Due = time.Time{} }, true)
		}},
		{name: "probe without a calibration", plant: func(p *planter) ([]expectation, bool) {
			return p.calibration(func(a *record.Asset) { a.Calibrated, a.Due = time.Time{}, time.Time{} }, true)
		}},
		{name: "coupler out of calibration", plant: (*planter).oldCoupler},
		{name: "asset that the list lacks", plant: (*planter).unlistedAsset},
		{name: "asset that does not cover the range", plant: (*planter).narrowAsset},
		{name: "tuning of the other polarization", plant: func(p *planter) ([]expectation, bool) {
			return p.tuning(func(t *jobsheet.Tuning, run *demoday.Run) {
				t.Polarization = map[quantity.Polarization]quantity.Polarization{"horizontal": "vertical", "vertical": "horizontal"}[run.Sheet.Polarization]
			}, true)
		}},
		{name: "tuning of another chamber", plant: func(p *planter) ([]expectation, bool) {
			return p.tuning(func(t *jobsheet.Tuning, _ *demoday.Run) { t.Chamber = "Chamber 1" }, true)
		}},
		{name: "tuning made after the run", plant: func(p *planter) ([]expectation, bool) {
			return p.tuning(func(t *jobsheet.Tuning, run *demoday.Run) {
				visits, _ := run.Visits()
				t.Made = visits[0].Start.Add(time.Duration(1+p.IntN(3600)) * time.Second).In(p.shape.Zone)
			}, true)
		}},
		{name: "tuning made when the run began", plant: func(p *planter) ([]expectation, bool) {
			return p.tuning(func(t *jobsheet.Tuning, run *demoday.Run) {
				visits, _ := run.Visits()
				t.Made = visits[0].Start.In(p.shape.Zone)
			}, false)
		}},
		{name: "too warm", plant: (*planter).tooWarm},
		{name: "event at no visited frequency", plant: (*planter).strayEvent},
		{name: "event with a threshold above the field", plant: (*planter).highThreshold},
		{name: "event with a search that skips the back-off", plant: (*planter).hastySearch},
		{name: "event that fits", plant: (*planter).fittingEvent},
		{name: "deviation that covers nothing", plant: (*planter).emptyDeviation},
	}
}

// asset returns an asset of the register and its row.
func (p *planter) asset(name string) (*record.Asset, [2]int) {
	i := slices.IndexFunc(p.day.Register.Assets, func(a record.Asset) bool { return a.Name == name })
	row := p.day.Register.Row(i)
	return &p.day.Register.Assets[i], [2]int{row, row}
}

// eachRun expects a finding of every run that meets a condition.
func (p *planter) eachRun(check, file string, rows [2]int, concerns func(*demoday.Run) bool) []expectation {
	var expected []expectation
	for _, run := range p.day.Runs {
		if concerns(run) {
			expected = append(expected, expectation{check: check, run: run.Sheet.ID, file: file, rows: rows})
		}
	}
	return expected
}

func (p *planter) calibration(change func(*record.Asset), found bool) ([]expectation, bool) {
	probe := p.day.Runs[0].Probes[p.IntN(len(p.day.Runs[0].Probes))].Sheet.Asset
	asset, rows := p.asset(probe)
	change(asset)
	if !found {
		return nil, true
	}
	return p.eachRun("calibration", p.day.Register.Entry.File, rows, func(*demoday.Run) bool { return true }), true
}

// oldCoupler lets the calibration of an asset that no run names run out: it acts
// on all.
func (p *planter) oldCoupler() ([]expectation, bool) {
	asset, rows := p.asset("DC-01")
	asset.Due = p.shape.Date.AddDate(0, 0, -1-p.IntN(500))
	asset.Calibrated = asset.Due.AddDate(-1, 0, 0)
	run := ""
	if len(p.day.Runs) == 1 {
		return nil, false // then the finding may name it
	}
	return []expectation{{check: "calibration", run: run, file: p.day.Register.Entry.File, rows: rows}}, true
}

func (p *planter) unlistedAsset() ([]expectation, bool) {
	name := []string{"AN-07", "PA-02", "FP-03"}[p.IntN(3)]
	p.day.Sheet.Equipment = slices.DeleteFunc(p.day.Sheet.Equipment, func(e jobsheet.Equipment) bool { return e.Asset == name })
	return p.eachRun("equipment", "job.toml", [2]int{}, func(*demoday.Run) bool { return true }), true
}

func (p *planter) narrowAsset() ([]expectation, bool) {
	asset, rows := p.asset([]string{"AN-07", "PA-02", "FP-03"}[p.IntN(3)])
	all := p.targets()
	border := all[p.IntN(len(all))].visit.Frequency * 1.0003
	if p.IntN(2) == 0 {
		asset.From = border
	} else {
		asset.To = border
	}
	expected := p.eachRun("equipment", p.day.Register.Entry.File, rows, func(run *demoday.Run) bool {
		visits, _ := run.Visits()
		return slices.ContainsFunc(visits, func(v *demoday.Visit) bool { return !v.Frequency.Within(asset.From, asset.To) })
	})
	return expected, len(expected) > 0
}

func (p *planter) tuning(change func(*jobsheet.Tuning, *demoday.Run), found bool) ([]expectation, bool) {
	if !p.shape.Tuning {
		return nil, false
	}
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	i := slices.IndexFunc(p.day.Sheet.Tunings, func(t jobsheet.Tuning) bool { return t.Name == run.Sheet.Tuning })
	change(&p.day.Sheet.Tunings[i], run)
	if !found {
		return nil, true
	}
	return []expectation{{check: "tuning", run: run.Sheet.ID, file: "job.toml"}}, true
}

func (p *planter) tooWarm() ([]expectation, bool) {
	e := &p.day.Sheet.Environment[0]
	switch p.IntN(3) {
	case 0:
		e.Temperature = quantity.Temperature(35.1 + 5*p.Float64())
	case 1:
		e.Humidity = 0.19
	default:
		e.Pressure = 85900
	}
	return []expectation{{check: "environment", note: true, file: "job.toml"}}, true
}

// event adds an event of a run to the job sheet.
func (p *planter) event(run string, f quantity.Frequency, threshold quantity.FieldStrength) {
	p.day.Sheet.Events = append(p.day.Sheet.Events, jobsheet.Event{Run: run, Frequency: f, Observed: "the drum slowed by 8 %",
		Threshold: threshold, Criterion: "a change of drum speed by more than 5 %"})
}

func (p *planter) strayEvent() ([]expectation, bool) {
	t, _ := p.pick(p.targets(), anyTarget)
	f := t.visit.Frequency * quantity.Frequency(1+p.between(0.2, 0.8)*float64(p.shape.Step))
	for _, other := range p.targets() {
		if q := other.visit.Frequency; f > q*0.9995 && f < q*1.0005 {
			return nil, false
		}
	}
	p.event(t.run.Sheet.ID, f, quantity.Undefined[quantity.FieldStrength]())
	return []expectation{{check: "event", note: true, run: t.run.Sheet.ID}}, true
}

func (p *planter) highThreshold() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	p.event(t.run.Sheet.ID, t.visit.Frequency, p.shape.Asked(t.visit.Frequency, t.visit.Polarization)*3)
	return []expectation{{check: "event", note: true, run: t.run.Sheet.ID}}, true
}

func (p *planter) fittingEvent() ([]expectation, bool) {
	t, _ := p.pick(p.targets(), anyTarget)
	p.event(t.run.Sheet.ID, t.visit.Frequency, p.shape.At(t.visit.Frequency, t.visit.Polarization)*0.7)
	return nil, true
}

// hastySearch records a search for the threshold that did not go 6 dB below the
// level of recovery.
func (p *planter) hastySearch() ([]expectation, bool) {
	e, ok := p.fittingEvent()
	if !ok {
		return e, false
	}
	event := &p.day.Sheet.Events[0]
	event.Search = &jobsheet.Search{Recovered: event.Threshold * 0.9, BackedOff: event.Threshold * 0.7, Returned: event.Threshold,
		From: event.Frequency, To: event.Frequency * 1.001, Worst: event.Frequency}
	return []expectation{{check: "event", note: true, run: event.Run}}, true
}

func (p *planter) emptyDeviation() ([]expectation, bool) {
	p.day.Sheet.Deviations = append(p.day.Sheet.Deviations, jobsheet.Deviation{Covers: []string{"level", "step-size"},
		From: 1, To: 1e12, LevelMin: quantity.Undefined[quantity.FieldStrength](),
		Reason: "agreed before the day and not needed", AgreedBy: "I. Orrevik"})
	return []expectation{{check: "deviation", note: true, file: "job.toml"}}, true
}
