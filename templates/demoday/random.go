package demoday

import (
	"math"
	"math/rand/v2"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/zone"
)

// Random returns a clean day of a shape that the seed chooses: every step is
// met, every record is in order, and nothing in it asks for a finding.
func Random(seed uint64) *Day { return RandomShape(seed).Day() }

// RandomShape returns the shape of Random's day.
func RandomShape(seed uint64) Shape {
	c := chooser{rand.New(rand.NewPCG(seed, 0x5eed))}
	undefined := quantity.Undefined[quantity.Ratio]()
	s := Shape{Seed: seed, Guard: undefined, Measured: undefined,
		ToleranceLow: quantity.Undefined[quantity.Decibel](), ToleranceHigh: quantity.Undefined[quantity.Decibel]()}
	s.Date = time.Date(2026, time.Month(1+c.IntN(12)), 1+c.IntN(28), 0, 0, 0, 0, time.UTC)
	s.Zone = c.zone()
	c.require(&s)
	c.work(&s)
	c.writeDown(&s)
	return s
}

// chooser makes the choices of a random shape.
type chooser struct{ *rand.Rand }

func (c chooser) yes(part float64) bool { return c.Float64() < part }

func (c chooser) seconds(list ...float64) time.Duration {
	return time.Duration(list[c.IntN(len(list))] * 1e9)
}

func (c chooser) zone() *time.Location {
	name := []string{"UTC", "Europe/Oslo", "America/New_York", "Asia/Tokyo", "Asia/Kolkata"}[c.IntN(5)]
	return zoneOf(name)
}

// zoneOf returns a zone that the database has.
func zoneOf(name string) *time.Location {
	found, err := zone.Load(name)
	if err != nil {
		panic(err.Error())
	}
	return found
}

// require chooses the requirement.
func (c chooser) require(s *Shape) {
	s.Step = quantity.Ratio([]float64{0.005, 0.01, 0.02, 0.05}[c.IntN(4)])
	from := quantity.Frequency([]float64{30e6, 80e6, 200e6, 1e9}[c.IntN(4)])
	for range 1 + c.IntN(3) {
		if c.yes(0.2) && len(s.Limits) > 0 {
			from *= 1.25 // a part of the range that nobody asks for
		}
		from = quantity.Frequency(math.Round(float64(from)/1e6) * 1e6)
		to := from
		for range 6 + c.IntN(14) {
			to *= quantity.Frequency(1 + s.Step)
		}
		to = quantity.Frequency(math.Round(float64(to)/1e5) * 1e5)
		level := quantity.FieldStrength([]float64{3, 10, 20, 50, 100, 200}[c.IntN(6)])
		l := Limit{From: from, To: to, LowLevel: level, HighLevel: level}
		if c.yes(0.3) {
			l.HighLevel = level * 2
		}
		if c.yes(0.25) {
			l.Polarizations = []quantity.Polarization{quantity.Polarizations()[c.IntN(2)]}
		}
		s.Limits = append(s.Limits, l)
		from = to
	}
	s.Dwell = c.seconds(1, 1.5, 2, 3)
	if c.yes(0.3) {
		s.Response = c.seconds(0.5, 1, 2.5)
	}
	if c.yes(0.5) {
		s.Settle = c.seconds(0.2, 0.3, 0.5)
	}
	if c.yes(0.3) {
		s.ToleranceLow = quantity.Decibel(-float64(c.IntN(3)))
	}
	if c.yes(0.5) {
		s.ToleranceHigh = quantity.Decibel(6 + c.IntN(5))
	}
	s.Modulation = []quantity.Modulation{{Kind: quantity.CW}, {Kind: quantity.Pulse, Rate: 1e3, Amount: 0.5},
		{Kind: quantity.Pulse, Rate: 1e3, Amount: 0.1}, {Kind: quantity.AM, Rate: 1e3, Amount: 0.8}, {Kind: quantity.AM, Rate: 400, Amount: 0.5}}[c.IntN(5)]
	s.Sensors = []string{"", "every", "mean"}[c.IntN(3)]
	s.Uncertainty = c.yes(0.6)
	s.Rule = []string{"", "simple"}[c.IntN(2)]
	if s.Uncertainty && c.yes(0.4) {
		s.Rule, s.Guard = "guarded", quantity.Ratio([]float64{0.5, 1}[c.IntN(2)])
	}
	s.Positions = 1 + c.IntN(4)/3
}

// work chooses what the bench does.
func (c chooser) work(s *Shape) {
	s.Resolution = quantity.Frequency([]float64{1, 100, 1e3, 10e3}[c.IntN(4)])
	s.Parts = 1 + c.IntN(4)/2
	s.Repeats = c.IntN(3)
	s.Probes = 1 + c.IntN(3)/2
	s.Detector = []string{"rms", "peak", "mean"}[c.IntN(3)]
	switch {
	case s.Modulation.Kind == quantity.CW && c.yes(0.5):
		s.Detector = ""
	case c.yes(0.15):
		s.Unmodulated, s.Detector = true, ""
	case c.yes(0.2):
		s.Measured = c.measured(s)
	}
	s.Corrected, s.Coupler = c.yes(0.85), c.yes(0.5)
	s.Sampling = Sampling{Interval: min(c.seconds(0.05, 0.1, 0.1, 0.2, 0.25, 0.5), s.Required()/6)} // a dwell needs three readings
	if c.yes(0.6) {
		s.Sampling.Jitter = s.Sampling.Interval / 10
	}
	if c.yes(0.3) {
		s.Sampling.Lost = 0.03
	}
	if c.yes(0.3) {
		s.MaxGap = s.Sampling.Interval*5/2 + 50*time.Millisecond
	}
	s.PowerTimes, s.PowerSteps = c.yes(0.7), c.yes(0.5)
	s.PowerIdle, s.Motion, s.Tuning = c.yes(0.5), c.yes(0.5), c.yes(0.5)
	s.Margin = 0.4
}

// measured chooses a measured modulation factor, within 1.8 dB of the one that is
// computed for the detector. Factors next to 1 are left out: a level that was set
// unmodulated cannot be told from a steady one with them.
func (c chooser) measured(s *Shape) quantity.Ratio {
	factor := carrierFactor(s.Detector, s.Modulation) * quantity.Decibel(3.6*c.Float64()-1.8).FieldFactor()
	if factor > 1 && factor < 1.15 {
		factor = 1
	}
	return quantity.Ratio(round(float64(factor), 3))
}

// writeDown chooses how the files are written.
func (c chooser) writeDown(s *Shape) {
	s.SharedDwell = c.yes(0.3)
	s.ByRun = s.Parts > 1 || c.yes(0.5)
	s.SharedPower, s.SharedLog = c.yes(0.5), c.yes(0.2)
	s.Axes = c.yes(0.6)
	s.Total = !s.Axes || c.yes(0.5)
	s.Status, s.Battery, s.LogSteps = c.yes(0.6), c.yes(0.3), c.yes(0.25)
	s.ModulationColumn, s.LevelColumn, s.ObservationColumn = c.yes(0.4), c.yes(0.3), c.yes(0.3)
	s.Durations, s.StateStep = c.yes(0.25), c.yes(0.15)
	for _, clock := range []*time.Duration{&s.ProbeClock, &s.PowerClock, &s.DwellClock} {
		if c.yes(0.3) {
			*clock = time.Duration(c.IntN(8000)-4000) * time.Millisecond
		}
	}
	s.Files = c.layouts(s)
}
