package report_test

import (
	"cmp"
	"math"
	"slices"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/demoday"
)

// powerFaults are things that the power, the antenna and the clocks show.
func powerFaults() []fault {
	return []fault{
		{name: "elements moved during a visit", plant: (*planter).movedInVisit},
		{name: "power while elements moved", plant: (*planter).poweredMotion},
		{name: "more reflected than forward", plant: (*planter).reflectedAbove, beside: []string{"linearity"}},
		{name: "forward above the rating", plant: (*planter).aboveRating},
		{name: "no power row for a visit", plant: (*planter).noPower},
		{name: "coupler tables with the wrong sign", plant: (*planter).wrongSign},
		{name: "mismatch", plant: (*planter).mismatch},
		{name: "field per root watt jumps", plant: (*planter).jump},
		{name: "harmonic near the fundamental", plant: func(p *planter) ([]expectation, bool) { return p.harmonic(quantity.Decibel(p.between(-5.9, -2))) }},
		{name: "harmonic far below the fundamental", plant: func(p *planter) ([]expectation, bool) { return p.harmonic(-30) }},
		{name: "clock of the probe log apart", plant: (*planter).lateClock, drowned: true},
		{name: "clock declared wrongly", plant: (*planter).wrongOffset, drowned: true},
	}
}

func (p *planter) motionRow(run *demoday.Run, i int) expectation {
	row := run.Motion.Row(i)
	return expectation{check: "motion", run: run.Sheet.ID, file: run.Motion.Entry.File, rows: [2]int{row, row}}
}

func (p *planter) movedInVisit() ([]expectation, bool) {
	if !p.shape.Motion {
		return nil, false
	}
	t, _ := p.pick(p.targets(), anyTarget)
	motion := t.run.Motion.Motions[0]
	motion.Start = t.visit.Start.Add(time.Duration(p.between(-0.1, 0.9) * float64(t.visit.End.Sub(t.visit.Start)))).Add(0)
	motion.Start = quantity.Instant(time.Duration(motion.Start).Round(time.Millisecond))
	motion.End = motion.Start.Add(400 * time.Millisecond)
	t.run.Motion.Motions = append(t.run.Motion.Motions, motion)
	return []expectation{p.motionRow(t.run, len(t.run.Motion.Motions)-1)}, true
}

// poweredMotion leaves a little power on while the elements moved.
func (p *planter) poweredMotion() ([]expectation, bool) {
	if !p.shape.Motion || !p.shape.PowerTimes {
		return nil, false
	}
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	motion := run.Motion.Motions[0]
	at := quantity.Instant(time.Duration(motion.Start.Add(time.Duration(p.between(0.1, 0.9) * float64(motion.End.Sub(motion.Start))))).Round(time.Millisecond))
	// Half of the greatest power is above a hundredth of the median, whatever the limits are.
	row := slices.MaxFunc(run.Power.Rows, func(a, b demoday.PowerRow) int { return cmp.Compare(a.Forward, b.Forward) })
	row.At, row.Forward, row.Reflected = at, row.Forward*0.5, row.Reflected*0.5
	k := slices.IndexFunc(run.Power.Rows, func(r demoday.PowerRow) bool { return r.At > at })
	run.Power.Rows = slices.Insert(run.Power.Rows, k, row)
	return []expectation{p.motionRow(run, 0)}, true
}

// powered picks a visit whose power rows are its own.
func (p *planter) powered() (target, bool) {
	return p.pick(p.alone(), func(t target) bool { return t.run.Power != nil })
}

func (p *planter) powerNote(check string, t target) expectation {
	e := p.at(check, t, nil)
	e.note = true
	return e
}

func (p *planter) reflectedAbove() ([]expectation, bool) {
	t, ok := p.powered()
	if !ok || p.shape.Coupler {
		return nil, false
	}
	for _, i := range p.powerRows(t) {
		t.run.Power.Rows[i].Reflected = t.run.Power.Rows[i].Forward * quantity.Power(p.between(1.02, 1.5))
	}
	return []expectation{p.powerNote("power", t)}, true
}

// aboveRating states a rating that exactly one visit of a run exceeds.
func (p *planter) aboveRating() ([]expectation, bool) {
	t, ok := p.powered()
	if !ok || p.shape.Coupler {
		return nil, false
	}
	visits, _ := t.run.Visits()
	highest := quantity.Power(0)
	for _, v := range visits {
		if v == t.visit {
			continue
		}
		for _, i := range p.powerRows(target{run: t.run, visit: v}) {
			highest = max(highest, t.run.Power.Rows[i].Forward)
		}
	}
	lowest := quantity.Power(1e12)
	for _, i := range p.powerRows(t) {
		lowest = min(lowest, t.run.Power.Rows[i].Forward)
	}
	if len(visits) < 2 || lowest < highest*1.02 {
		return nil, false
	}
	t.run.Sheet.ForwardMax = (lowest + highest) / 2
	return []expectation{p.powerNote("power", t)}, true
}

func (p *planter) noPower() ([]expectation, bool) {
	t, ok := p.powered()
	if !ok {
		return nil, false
	}
	rows := p.powerRows(t)
	power := t.run.Power
	if !power.Time {
		for _, r := range power.Rows { // a neighbour's rows may be near enough to count
			if f := r.Frequency / t.visit.Frequency; f != 1 && f > 0.999 && f < 1.001 {
				return nil, false
			}
		}
	}
	for k := len(rows) - 1; k >= 0; k-- {
		power.Rows = slices.Delete(power.Rows, rows[k], rows[k]+1)
	}
	return []expectation{p.powerNote("power", t)}, true
}

// wrongSign gives the coupler tables the wrong sign, so that every power is 100 dB
// less than it was. It is one note a run, not one for each visit.
func (p *planter) wrongSign() ([]expectation, bool) {
	if !p.shape.Coupler || p.day.Runs[0].Power == nil {
		return nil, false
	}
	var expected []expectation
	for _, run := range p.day.Runs {
		if visits, _ := run.Visits(); len(visits) < 3 {
			return nil, false
		}
		expected = append(expected, expectation{check: "power", note: true, run: run.Sheet.ID, file: run.Power.Entry.File})
	}
	for _, table := range []*demoday.Correction{p.day.Runs[0].Forward, p.day.Runs[0].Reflected} {
		for i := range table.Points {
			table.Points[i].Value *= -1
		}
	}
	return expected, true
}

// mismatch sets a limit of the VSWR that one visit exceeds.
func (p *planter) mismatch() ([]expectation, bool) {
	t, ok := p.powered()
	if !ok || p.shape.Coupler {
		return nil, false
	}
	p.day.Sheet.Requirement.MismatchLimit = 3 // the made-up antennas stay below 2.3
	for _, i := range p.powerRows(t) {
		t.run.Power.Rows[i].Reflected = t.run.Power.Rows[i].Forward * quantity.Power(p.between(0.26, 0.6)) // 3.1 to 7.9
	}
	return []expectation{p.powerNote("mismatch", t)}, true
}

// jump lets one visit take four times the power or more for the same field.
func (p *planter) jump() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), func(t target) bool {
		visits, _ := t.run.Visits()
		near := 0
		for _, v := range visits {
			if ratio := v.Frequency / t.visit.Frequency; ratio != 1 && ratio > 0.86 && ratio < 1.16 {
				near++
			}
		}
		return t.run.Power != nil && near >= 8
	})
	if !ok {
		return nil, false
	}
	p.scalePower(t, quantity.Power(p.between(4, 8)))
	return []expectation{p.powerNote("linearity", t)}, true
}

// clockFault expects the note on the clock of a probe log, with whatever the
// wrong times break besides.
func (p *planter) clockFault(run *demoday.Run) expectation {
	return expectation{check: "clock", note: true, run: run.Sheet.ID, file: run.Probes[0].Log.Entry.File}
}

// harmonic states a harmonic of a visit. What the probes read is raised by as much
// as an rms detector adds of it, so that the fundamental stays what it was.
func (p *planter) harmonic(level quantity.Decibel) ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	t.run.Sheet.Harmonics = append(t.run.Sheet.Harmonics, jobsheet.Harmonic{Frequency: t.visit.Frequency, Order: 2 + p.IntN(2), Level: level,
		Field: quantity.Undefined[quantity.FieldStrength]()})
	if p.shape.Detector != "rms" {
		return []expectation{p.powerNote("harmonic", t)}, true // nothing tells how much of the reading it is
	}
	share := float64(level.FieldFactor())
	for i := range t.run.Probes {
		log := t.run.Probes[i].Log
		from, to := log.Window(t.visit, p.shape.Settle)
		for k := from; k < to; k++ {
			log.Samples[k].SetReading(log.Samples[k].Total * quantity.FieldStrength(math.Sqrt(1+share*share)))
		}
	}
	if level < -6 {
		return nil, true
	}
	return []expectation{p.powerNote("harmonic", t)}, true
}

// unfollowed is the part of a run's visits in whose window the field is not on
// for the required time.
func (p *planter) unfollowed(run *demoday.Run) float64 {
	visits, _ := run.Visits()
	probe, lost := &run.Probes[0], 0
	for _, v := range visits {
		asked := p.shape.Asked(v.Frequency, v.Polarization) / quantity.FieldStrength(probe.Factor(v.Frequency, v.Modulation))
		from, to := probe.Log.Window(v, p.shape.Settle)
		on := 0
		for i := from; i < to; i++ {
			if probe.Log.Samples[i].Total > asked/4 {
				on++
			}
		}
		if time.Duration(on+1)*p.shape.Sampling.Interval < p.shape.Required() {
			lost++
		}
	}
	return float64(lost) / float64(len(visits))
}

// lateClock lets the clock of a probe log run late without saying so.
func (p *planter) lateClock() ([]expectation, bool) {
	return p.clockApart(func(log *demoday.ProbeLog, off time.Duration) {
		for i := range log.Samples {
			log.Samples[i].At = log.Samples[i].At.Add(off)
		}
	})
}

// wrongOffset declares an offset that a right clock does not have: the file's own
// times stay, so the writer's true times have to follow the declaration.
func (p *planter) wrongOffset() ([]expectation, bool) {
	if p.shape.ProbeClock != 0 {
		return nil, false // the declared offset may still fit better than none
	}
	return p.clockApart(func(log *demoday.ProbeLog, off time.Duration) {
		log.Entry.ClockOffset += off
		for i := range log.Samples {
			log.Samples[i].At = log.Samples[i].At.Add(off)
		}
	})
}

func (p *planter) clockApart(shift func(*demoday.ProbeLog, time.Duration)) ([]expectation, bool) {
	run := p.day.Runs[p.IntN(len(p.day.Runs))]
	visits, _ := run.Visits()
	if p.shape.SharedLog || len(visits) < 12 || p.shape.Sampling.Interval > 200*time.Millisecond {
		return nil, false
	}
	off := time.Duration(p.between(1.6, 2.4) * 1e9).Round(time.Millisecond)
	if p.IntN(2) == 0 {
		off = -off
	}
	shift(run.Probes[0].Log, off)
	if lost := p.unfollowed(run); lost < 0.6 {
		return nil, false // most visits still show enough field to be met
	}
	return []expectation{p.clockFault(run)}, true
}
