package demoday

import (
	"math"
	"math/rand/v2"
	"sort"
	"time"

	"fieldheld/ingest/quantity"
)

// scene is what happens in the chamber during one run: the holds in order, and
// other stretches with a field that belong to no visit.
type scene struct {
	from, to quantity.Instant // of the records
	holds    []hold
	searches []search
}

// search is a stretch in which the operator sets the level by hand.
type search struct {
	frequency quantity.Frequency
	points    []searchPoint // ascending in time, straight in between
	perRoot   float64
	reflected float64
	direction [3]float64
}

// searchPoint is a level at a time.
type searchPoint struct {
	at    quantity.Instant
	level quantity.FieldStrength
}

// level returns the corrected field at t, and whether the search is on then.
func (s *search) level(t quantity.Instant) (quantity.FieldStrength, bool) {
	last := len(s.points) - 1
	if last < 0 || t < s.points[0].at || t >= s.points[last].at {
		return 0, false
	}
	i := sort.Search(last, func(i int) bool { return t < s.points[i+1].at })
	a, b := s.points[i], s.points[i+1]
	part := t.Sub(a.at).Seconds() / b.at.Sub(a.at).Seconds()
	return a.level + quantity.FieldStrength(part)*(b.level-a.level), true
}

// moment is the state of the chamber at one time.
type moment struct {
	on         bool
	frequency  quantity.Frequency
	level      quantity.FieldStrength
	modulation quantity.Modulation
	perRoot    float64
	reflection float64
	direction  [3]float64
}

// at returns the state at t.
func (s *scene) at(t quantity.Instant) moment {
	i := sort.Search(len(s.holds), func(i int) bool { return s.holds[i].visit.End > t })
	if i < len(s.holds) && !s.holds[i].off(t) {
		h := &s.holds[i]
		return moment{on: true, frequency: h.visit.Frequency, level: h.level(t), modulation: h.visit.Modulation,
			perRoot: h.perRoot, reflection: h.reflection, direction: h.direction}
	}
	for k := range s.searches {
		if level, on := s.searches[k].level(t); on {
			q := &s.searches[k]
			return moment{on: true, frequency: q.frequency, level: level, modulation: s.holds[0].visit.Modulation,
				perRoot: q.perRoot, reflection: q.reflected, direction: q.direction}
		}
	}
	return moment{}
}

// ticks are the times at which a meter takes a reading.
type ticks struct {
	interval time.Duration
	jitter   time.Duration // each time is off by up to this, either way
	skip     float64       // part of the readings that is lost, never two in a row
}

// over calls read for every tick from one time up to another, to the millisecond.
func (k ticks) over(random *rand.Rand, from, to quantity.Instant, read func(quantity.Instant)) {
	skipped := true
	for t := from; t < to; t = t.Add(k.interval) {
		lost := random.Float64() < k.skip && !skipped
		skipped = lost
		late := time.Duration(math.Round((2*random.Float64() - 1) * float64(k.jitter)))
		if !lost {
			read(quantity.Instant(time.Duration(t.Add(late)).Round(time.Millisecond)))
		}
	}
}

// readProbe fills the log of a probe with what it shows during the scene.
func (s *scene) readProbe(random *rand.Rand, p *Probe, k ticks, scatter quantity.Decibel) {
	k.over(random, s.from, s.to, func(t quantity.Instant) {
		now := s.at(t)
		sample := Sample{At: t, Mark: "OK", Frequency: now.frequency}
		direction := now.direction
		if now.on {
			factor := p.Factor(now.frequency, now.modulation)
			sample.Total = now.level / quantity.FieldStrength(factor) * quantity.FieldStrength(noise(random, scatter))
		} else {
			sample.Total = floorReading(random)
			direction = [3]float64{0.57, 0.61, 0.55}
		}
		for i, part := range direction {
			sample.Axes[i] = sample.Total * quantity.FieldStrength(part)
		}
		p.Log.Samples = append(p.Log.Samples, sample)
	})
}

// readPower fills the power file of a run with what the meters show.
func (s *scene) readPower(random *rand.Rand, run *Run, k ticks, onlyWhenOn bool) {
	shown := s.holds[0].visit.Frequency // the generator keeps its frequency while the power is off
	k.over(random, s.from, s.to, func(t quantity.Instant) {
		now := s.at(t)
		if !now.on && onlyWhenOn {
			return
		}
		row := PowerRow{At: t, Frequency: shown}
		if now.on {
			shown, row.Frequency = now.frequency, now.frequency
			root := float64(now.level) / now.perRoot
			forward := quantity.Power(root * root * noise(random, 0.02))
			row.Forward = forward.Plus(-run.Forward.powerFactor(now.frequency))
			row.Reflected = (forward * quantity.Power(now.reflection*noise(random, 0.04))).Plus(-run.Reflected.powerFactor(now.frequency))
		}
		run.Power.Rows = append(run.Power.Rows, row)
	})
}

// direction returns a unit vector of the field, mostly along the axis of the
// polarization and never quite.
func direction(random *rand.Rand, polarization quantity.Polarization) [3]float64 {
	main, side, depth := 0.9+0.08*random.Float64(), 0.2+0.2*random.Float64(), 0.15+0.15*random.Float64()
	v := [3]float64{main, side, depth}
	if polarization == "vertical" {
		v = [3]float64{side, depth, main}
	}
	length := math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2])
	for i := range v {
		v[i] /= length
	}
	return v
}
