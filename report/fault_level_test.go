package report_test

import (
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/demoday"
)

// levelFaults are fields that are too low or too high.
func levelFaults() []fault {
	return []fault{
		{name: "level below what the rule asks", plant: func(p *planter) ([]expectation, bool) {
			return p.level(-p.between(0.02, 4))
		}},
		{name: "level 0.001 dB below", plant: func(p *planter) ([]expectation, bool) { return p.level(-0.001) }},
		{name: "level 0.001 dB above", plant: func(p *planter) ([]expectation, bool) { return p.level(0.001) }},
		{name: "level missed first and met in another visit", plant: (*planter).missedOnce},
		{name: "level below for one reading in the middle", plant: (*planter).dip},
		{name: "level above the upper tolerance", plant: func(p *planter) ([]expectation, bool) { return p.peak(p.between(0.01, 2)) }, beside: []string{"linearity"}},
		{name: "level 0.001 dB above the upper tolerance", plant: func(p *planter) ([]expectation, bool) { return p.peak(0.001) }, beside: []string{"linearity"}},
		{name: "level 0.001 dB below the upper tolerance", plant: func(p *planter) ([]expectation, bool) { return p.peak(-0.001) }, beside: []string{"linearity"}},
	}
}

// level holds a visit at a level off the least one that the rule accepts.
func (p *planter) level(off float64) ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	log := p.holdOff(t, off)
	if off >= 0 {
		return nil, true
	}
	return []expectation{p.at("level", t, log)}, true
}

// holdOff holds a visit at a level off the least one and returns the log that
// decides. The power follows.
func (p *planter) holdOff(t target, off float64) *demoday.ProbeLog {
	finest(t.run)
	asked := p.shape.Asked(t.visit.Frequency, t.visit.Polarization)
	probes := p.affected(t.run)
	before := probes[0].Log.Samples[p.first(probes[0].Log, t)].Total
	for i, probe := range probes {
		level := asked.Plus(quantity.Decibel(off))
		if i > 0 {
			level *= 1 + 1e-7 // the first decides
		}
		p.hold(probe, t.visit, level)
	}
	ratio := probes[0].Log.Samples[p.first(probes[0].Log, t)].Total / before
	p.scalePower(t, quantity.Power(ratio*ratio))
	return probes[0].Log
}

// first is the index of the first sample in a visit's window.
func (p *planter) first(log *demoday.ProbeLog, t target) int {
	from, _ := log.Window(t.visit, p.shape.Settle)
	return from
}

// missedOnce lowers one of two visits of a step: a note, whichever came first.
func (p *planter) missedOnce() ([]expectation, bool) {
	all := p.targets()
	t, ok := p.pick(all, func(a target) bool {
		for _, b := range all {
			if a.visit != b.visit && a.run == b.run && a.visit.Frequency == b.visit.Frequency {
				return !(a.run.Power != nil && !a.run.Power.Time) // rows of both visits would be changed
			}
		}
		return false
	})
	if !ok {
		return nil, false
	}
	e := p.at("level", t, p.holdOff(t, -p.between(0.02, 2)))
	e.note = true
	return []expectation{e}, true
}

// dip lowers a single reading, so far from both ends of the window that no long
// enough stretch is left beside it.
func (p *planter) dip() ([]expectation, bool) {
	if p.shape.Sensors == "mean" {
		return nil, false
	}
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	probe := p.affected(t.run)[0]
	log := probe.Log
	from, to := log.Window(t.visit, p.shape.Settle)
	middle := (from + to) / 2
	left := log.Samples[middle].At.Sub(t.visit.Start.Add(p.shape.Settle))
	right := t.visit.End.Sub(log.Samples[middle].At)
	if to-from < 5 || max(left, right) >= p.shape.Required()-2*time.Millisecond {
		return nil, false
	}
	asked := p.shape.Asked(t.visit.Frequency, t.visit.Polarization).Plus(quantity.Decibel(-p.between(0.02, 3)))
	log.Samples[middle].SetReading(asked / quantity.FieldStrength(probe.Factor(t.visit.Frequency, t.visit.Modulation)))
	return []expectation{p.at("level", t, log)}, true
}

// peak raises one reading to a level off the upper tolerance.
func (p *planter) peak(off float64) ([]expectation, bool) {
	if !quantity.Defined(p.shape.ToleranceHigh) {
		return nil, false
	}
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	finest(t.run)
	highest := p.shape.At(t.visit.Frequency, t.visit.Polarization).Plus(p.shape.ToleranceHigh)
	probes := p.affected(t.run)
	for i, probe := range probes {
		level := highest.Plus(quantity.Decibel(off))
		if i > 0 {
			level *= 1 - 1e-7
		}
		from, to := probe.Log.Window(t.visit, p.shape.Settle)
		s := &probe.Log.Samples[from+p.IntN(to-from)]
		s.SetReading(level / quantity.FieldStrength(probe.Factor(t.visit.Frequency, t.visit.Modulation)))
	}
	if off < 0 {
		return nil, true
	}
	return []expectation{p.at("overlevel", t, probes[0].Log)}, true
}
