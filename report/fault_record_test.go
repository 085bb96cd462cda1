package report_test

import (
	"slices"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/demoday"
)

// recordFaults are rows that cannot be taken as they stand. None of them decides.
func recordFaults() []fault {
	return []fault{
		{name: "unreadable row of a probe log", plant: (*planter).spoiltSample},
		{name: "unreadable row of a power file", plant: (*planter).spoiltPower},
		{name: "duplicate row of a probe log", plant: (*planter).duplicate},
		{name: "unknown mark", plant: (*planter).unknownMark},
		{name: "row that goes back", plant: (*planter).goesBack},
		{name: "register and job sheet differ", plant: (*planter).difference},
		{name: "dates out of order", plant: (*planter).dates},
		{name: "certificate of another probe", plant: (*planter).certificate},
		{name: "asset that nobody used", plant: (*planter).unused},
	}
}

// idle returns the index of a sample between two visits of a run.
func (p *planter) idle(log *demoday.ProbeLog) (int, bool) {
	visits := p.targets()
	for range 50 {
		i := 5 + p.IntN(len(log.Samples)-10)
		at := log.Samples[i].At
		apart := !slices.ContainsFunc(visits, func(t target) bool {
			return at > t.visit.Start.Add(-200*time.Millisecond) && at < t.visit.End.Add(200*time.Millisecond)
		})
		if apart {
			return i, true
		}
	}
	return 0, false
}

// log chooses a probe log of the day by chance.
func (p *planter) log() *demoday.ProbeLog {
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	return run.Probes[p.IntN(len(run.Probes))].Log
}

func recordRow(f demoday.File, index int) expectation {
	row := f.Row(index)
	return expectation{check: "record", note: true, file: f.Entry.File, rows: [2]int{row, row}}
}

func (p *planter) spoiltSample() ([]expectation, bool) {
	log := p.log()
	i, ok := p.idle(log)
	if !ok {
		return nil, false
	}
	log.Samples[i].Spoilt = []string{"---", "<1", "1#2", "n/a"}[p.IntN(4)]
	return []expectation{recordRow(log.File, i)}, true
}

func (p *planter) spoiltPower() ([]expectation, bool) {
	t, ok := p.powered()
	if !ok || len(p.powerRows(t)) < 2 {
		return nil, false
	}
	i := p.powerRows(t)[0]
	t.run.Power.Rows[i].Spoilt = "no signal"
	return []expectation{recordRow(t.run.Power.File, i)}, true
}

func (p *planter) duplicate() ([]expectation, bool) {
	log := p.log()
	i := 5 + p.IntN(len(log.Samples)-10)
	log.Samples = slices.Insert(log.Samples, i+1, log.Samples[i])
	return []expectation{recordRow(log.File, i+1)}, true
}

// unknownMark marks a row outside every visit with a word that nobody knows.
func (p *planter) unknownMark() ([]expectation, bool) {
	log := p.log()
	i, ok := p.idle(log)
	if !ok || !p.shape.Status {
		return nil, false
	}
	log.Samples[i].Mark = "LOWBAT"
	return []expectation{recordRow(log.File, i)}, true
}

// goesBack inserts a row whose time lies before the row above it by more than
// the longest gap.
func (p *planter) goesBack() ([]expectation, bool) {
	log := p.log()
	i := len(log.Samples)/2 + p.IntN(len(log.Samples)/4)
	stale := log.Samples[i]
	stale.At = stale.At.Add(-p.gap(log) - 20*time.Millisecond)
	log.Samples = slices.Insert(log.Samples, i+1, stale)
	return []expectation{recordRow(log.File, i+1)}, true
}

// difference lets the job sheet state another date than the register, both of
// them good.
func (p *planter) difference() ([]expectation, bool) {
	asset, _ := p.asset("FP-03")
	for i := range p.day.Sheet.Equipment {
		if e := &p.day.Sheet.Equipment[i]; e.Asset == asset.Name {
			e.Due = asset.Due.AddDate(0, 0, 1)
		}
	}
	return []expectation{{check: "record", note: true}}, true
}

// dates lets one date of the job sheet come before the one that it follows.
func (p *planter) dates() ([]expectation, bool) {
	s := &p.day.Sheet
	switch p.IntN(3) {
	case 0:
		s.Article.Received = p.shape.Date.AddDate(0, 0, 1)
	case 1:
		s.Signatures[0].Date = p.shape.Date.AddDate(0, 0, -1)
	default:
		s.Report.Issued = p.shape.Date.AddDate(0, 0, 1) // authorised the day after
	}
	return []expectation{{check: "record", note: true, file: "job.toml"}}, true
}

// certificate lets a correction table name a certificate that is not the probe's.
func (p *planter) certificate() ([]expectation, bool) {
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	table := run.Probes[p.IntN(len(run.Probes))].Correction
	if table == nil {
		return nil, false
	}
	table.Layout.Preamble = append(slices.Clone(table.Layout.Preamble), "Certificate: KC-250101-01")
	return []expectation{{check: "record", note: true, file: table.Entry.File}}, true
}

// unused lists an antenna that no run names.
func (p *planter) unused() ([]expectation, bool) {
	undefined := quantity.Undefined[quantity.Frequency]()
	p.day.Sheet.Equipment = append(p.day.Sheet.Equipment, jobsheet.Equipment{Asset: "AN-11", Role: "antenna", From: undefined, To: undefined,
		CalibrationNotRequired: true, CalibrationReason: "the calibrated field probe verifies the level during the test"})
	return []expectation{{check: "record", note: true, file: "job.toml"}}, true
}
