package demoday

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
)

// bench makes the day of a shape.
type bench struct {
	Shape
	random *rand.Rand
	day    *Day
	now    quantity.Instant
	pace   float64                          // of what happens between the visits; 1 is a bench that takes its time
	steps  func(Range) []quantity.Frequency // of a range
	done   func(*Run) error                 // called when a run is recorded; nil for nothing

	corrections        []*Correction // one a probe, nil where there is none
	forward, reflected *Correction
	sharedDwell        *DwellRecord
	sharedLogs         []*ProbeLog
}

// Day makes the day of the shape. The same shape gives the same day.
func (s Shape) Day() *Day {
	b := newBench(s)
	if err := b.work(); err != nil {
		panic("a day in memory cannot fail: " + err.Error())
	}
	return b.day
}

func newBench(s Shape) *bench {
	b := &bench{Shape: s, random: rand.New(rand.NewPCG(s.Seed, 0x0f1e1d)), day: &Day{Shape: &s}, pace: 1}
	b.steps = func(r Range) []quantity.Frequency { return frequencies(r.From, r.To, float64(s.Step), s.Resolution) }
	b.now = quantity.InstantOf(time.Date(s.Date.Year(), s.Date.Month(), s.Date.Day(), 9, 0, 0, 0, s.Zone))
	return b
}

// work makes the day.
func (b *bench) work() error {
	b.calibrate()
	for _, polarization := range quantity.Polarizations() {
		for position := quantity.Position(1); int(position) <= b.Positions; position++ {
			if err := b.serve(polarization, position); err != nil {
				return err
			}
		}
	}
	b.day.Sheet = b.sheet()
	b.day.Requirement = b.requirement()
	b.day.Register = Register{File: b.Files.Register.file("equipment"), Assets: demoAssets()}
	b.day.Register.Entry.Sheet = ""
	b.stock()
	return nil
}

// serve runs all ranges of one polarization and position, in parts.
func (b *bench) serve(polarization quantity.Polarization, position quantity.Position) error {
	var list []quantity.Frequency
	for _, r := range b.Ranges(polarization) {
		list = append(list, b.steps(r)...)
	}
	parts := min(b.Parts, len(list))
	for part := range parts {
		id := strings.ToUpper(string(polarization[:1])) + fmt.Sprint(position)
		if parts > 1 {
			id += string(rune('a' + part))
		}
		run := b.run(id, polarization, position, list[part*len(list)/parts:(part+1)*len(list)/parts])
		if b.done == nil {
			continue
		}
		if err := b.done(run); err != nil {
			return err
		}
	}
	return nil
}

// run plays and records one run.
func (b *bench) run(id string, polarization quantity.Polarization, position quantity.Position, list []quantity.Frequency) *Run {
	run := b.prepare(id, polarization, position)
	b.day.Runs = append(b.day.Runs, run)
	list = slices.Clone(list)
	for range b.Repeats {
		list = append(list, list[b.random.IntN(len(list))])
	}
	run.Sheet.ForwardMax = b.rating(polarization, list)
	a := b.antenna(list)
	s := &scene{from: b.now}
	at := b.now.Add(3 * time.Second)
	if run.Motion != nil {
		run.Motion.Motions = append(run.Motion.Motions, record.Motion{Start: b.now.Add(500 * time.Millisecond), End: b.now.Add(2500 * time.Millisecond)})
	}
	for _, f := range list {
		h := b.hold(run, a, f, at)
		s.holds = append(s.holds, h)
		run.Dwell.Visits = append(run.Dwell.Visits, h.visit)
		at = h.visit.End.Add(b.between(0.6, 1.2))
	}
	s.to = at.Add(2 * time.Second)
	for i := range run.Probes {
		k := ticks{interval: b.Sampling.Interval, jitter: b.Sampling.Jitter, skip: b.Sampling.Lost}
		s.readProbe(b.random, &run.Probes[i], k, 0.012)
	}
	b.readPower(run, s)
	b.now = quantity.Instant(time.Duration(s.to.Add(b.between(20, 60))).Round(time.Second))
	return run
}

// rating is what the path of a run stands: well above what the weakest antenna takes,
// and not beyond reason.
func (b *bench) rating(polarization quantity.Polarization, list []quantity.Frequency) quantity.Power {
	highest := quantity.FieldStrength(0)
	for _, f := range list {
		highest = max(highest, b.Asked(f, polarization))
	}
	return quantity.Power(math.Ceil(100 * math.Pow(float64(highest)/4, 2)))
}

// readPower fills the power file in the way that the shape asks for.
func (b *bench) readPower(run *Run, s *scene) {
	interval := b.PowerEvery
	if interval == 0 {
		interval = min(time.Second, b.Required()/3)
	}
	switch {
	case run.Power == nil:
	case b.PowerTimes:
		s.readPower(b.random, run, ticks{interval: interval, jitter: 3 * time.Millisecond}, !b.PowerIdle)
	default:
		s.readSteps(b.random, run)
	}
}

// readSteps fills a power file without times: a few rows a step.
func (s *scene) readSteps(random *rand.Rand, run *Run) {
	for i := range s.holds {
		h := &s.holds[i]
		middle := h.visit.Start.Add(h.visit.End.Sub(h.visit.Start) / 2)
		for k := range 1 + random.IntN(3) {
			forward := h.forward(middle) * quantity.Power(noise(random, 0.005)*(1+0.01*float64(k))) // no two rows alike
			run.Power.Rows = append(run.Power.Rows, PowerRow{At: middle, Frequency: h.visit.Frequency,
				Forward:   forward.Plus(-run.Forward.powerFactor(h.visit.Frequency)),
				Reflected: (forward * quantity.Power(h.reflection*noise(random, 0.05))).Plus(-run.Reflected.powerFactor(h.visit.Frequency))})
		}
	}
}

// prepare returns a run with empty records.
func (b *bench) prepare(id string, polarization quantity.Polarization, position quantity.Position) *Run {
	name := strings.ToLower(id)
	run := &Run{Sheet: jobsheet.Run{ID: id, Polarization: polarization, Position: position, Antenna: "AN-07", Amplifier: "PA-02"}}
	if b.Tuning {
		run.Sheet.Tuning = "T-" + id
		b.day.Sheet.Tunings = append(b.day.Sheet.Tunings, jobsheet.Tuning{Name: "T-" + id, Polarization: polarization,
			Chamber: "Chamber 2", Made: b.now.Add(-time.Hour).In(b.Zone)})
	}
	run.Dwell = b.dwellRecord(name)
	if b.PowerTimes || b.PowerSteps {
		run.Power = &PowerFile{File: b.Files.Power.file("power/" + name), Time: b.PowerTimes, Frequency: b.PowerSteps}
		if b.SharedPower && b.Files.Power.Workbook {
			run.Power.File = b.Files.Power.file("power/all")
			run.Power.Entry.Sheet = id
		}
		b.setClock(&run.Power.File, b.PowerClock, b.PowerTimes)
		run.Forward, run.Reflected = b.forward, b.reflected
	}
	if b.Motion {
		run.Motion = &MotionRecord{File: b.Files.Motion.file("dwell/" + name + "-motion")}
		b.setClock(&run.Motion.File, 0, true)
	}
	for i := range b.Probes {
		run.Probes = append(run.Probes, b.probe(name, i))
	}
	return run
}

func (b *bench) dwellRecord(name string) *DwellRecord {
	if b.SharedDwell && b.sharedDwell != nil {
		return b.sharedDwell
	}
	d := &DwellRecord{File: b.Files.Dwell.file("dwell/" + name), Modulation: b.ModulationColumn, Level: b.LevelColumn,
		Observation: b.ObservationColumn, Duration: b.Durations, Decimals: b.decimals(b.Files.Dwell)}
	if b.SharedDwell {
		d.File = b.Files.Dwell.file("dwell/all")
		d.Run, d.Polarization, d.Position = b.ByRun, !b.ByRun, !b.ByRun
		b.sharedDwell = d
	}
	if b.StateStep {
		d.Entry.FrequencyResolution = b.Resolution
	}
	b.setClock(&d.File, b.DwellClock, true)
	return d
}

func (b *bench) probe(name string, index int) Probe {
	asset := fmt.Sprintf("FP-%02d", 3+index)
	p := Probe{Correction: b.corrections[index], Sheet: jobsheet.Probe{Asset: asset, Detector: b.Detector, Unmodulated: b.Unmodulated,
		ModulationFactor: b.Measured, Range: jobsheet.Range[quantity.FieldStrength]{Low: 0.01, High: 9000}, Height: 0.3}}
	if b.SharedLog {
		for len(b.sharedLogs) <= index {
			b.sharedLogs = append(b.sharedLogs, b.log(fmt.Sprintf("probe/day-fp%d", 3+len(b.sharedLogs))))
		}
		p.Log = b.sharedLogs[index]
		return p
	}
	p.Log = b.log(fmt.Sprintf("probe/%s-fp%d", name, 3+index))
	return p
}

func (b *bench) log(path string) *ProbeLog {
	l := &ProbeLog{File: b.Files.Probe.file(path), Axes: b.Axes, Total: b.Total, Status: b.Status, Battery: b.Battery, Frequency: b.LogSteps}
	b.setClock(&l.File, b.ProbeClock, true)
	return l
}

// setClock sets how the clock of a file is off, and what the job sheet must say
// of its times.
func (b *bench) setClock(f *File, offset time.Duration, times bool) {
	if !times {
		return
	}
	f.Entry.ClockOffset = offset
	style := f.Layout.Time
	if style.ambiguous(b.Date) {
		f.Entry.TimeFormat = strings.TrimSpace(style.Date + " " + style.Clock)
	}
	switch style.Kind {
	case ElapsedSeconds:
		f.Entry.Start = b.now.Add(-2 * time.Second).In(b.Zone)
	case UnixSeconds:
	default:
		if (style.Clock != "" || style.Kind == SerialDate) && style.zone().String() != b.Zone.String() {
			f.Entry.Zone = style.zone()
		}
	}
}

// decimals is how many decimals of the layout's unit the generator's resolution needs.
func (b *bench) decimals(l Layout) int {
	convert, _ := quantity.FrequencyUnit(l.unit("frequency"))
	return max(0, int(math.Ceil(math.Log10(float64(convert(1)/b.Resolution))-1e-9)))
}

// hold plays one step, on a level that the requirement asks for and a bit more.
func (b *bench) hold(run *Run, a *antenna, f quantity.Frequency, on quantity.Instant) hold {
	h := hold{on: on, rise: b.between(0.25, 0.6), overshoot: quantity.Decibel(0.8 * b.random.Float64()),
		ripple: quantity.Decibel(0.06 * b.random.Float64()), swing: b.between(0.8, 2.2), phase: 2 * math.Pi * b.random.Float64(),
		drift: quantity.Decibel(0.1 * (b.random.Float64() - 0.5)), perRoot: a.perRootWatt(f),
		reflection: reflectionOf(a.standingWaveRatio(f)), direction: direction(b.random, run.Sheet.Polarization)}
	h.aim = b.Asked(f, run.Sheet.Polarization).Plus(b.Margin + quantity.Decibel(0.4*b.random.Float64()))
	start := on.Add(h.rise + b.between(0.1, 0.3))
	length := b.Settle + b.Required() + 2*b.Sampling.Interval + b.between(0.1, 0.6)
	h.visit = Visit{Run: run.Sheet.ID, Polarization: run.Sheet.Polarization, Position: run.Sheet.Position, Frequency: f,
		Modulation: b.Modulation, Start: start, End: start.Add(length), Level: h.aim}
	h.visit.End = quantity.Instant(time.Duration(h.visit.End).Round(10 * time.Millisecond))
	return h
}

func (b *bench) between(low, high float64) time.Duration {
	return time.Duration(b.pace * (low + (high-low)*b.random.Float64()) * 1e9).Round(10 * time.Millisecond)
}

// antenna returns an antenna for the frequencies of a run.
func (b *bench) antenna(list []quantity.Frequency) *antenna {
	low, high := list[0], list[0]
	for _, f := range list {
		low, high = min(low, f), max(high, f)
	}
	return &antenna{at32MHz: 4 + 6*b.random.Float64(), slope: 0.02,
		waves: []wave{{amplitude: 0.25, perOctave: 0.8, phaseRadians: 2 * math.Pi * b.random.Float64()}},
		spans: spans(low, high*1.001, 0.08, func() float64 { return 1.3 + 0.8*b.random.Float64() })}
}

// calibrate makes up the correction tables.
func (b *bench) calibrate() {
	low, high := b.Limits[0].From, b.Limits[len(b.Limits)-1].To
	for i := range b.Probes {
		var c *Correction
		if b.Corrected {
			c = b.correction(fmt.Sprintf("corrections/fp%d", 3+i), low, high, 0, 1.5)
		}
		b.corrections = append(b.corrections, c)
	}
	if b.Coupler {
		b.forward = b.correction("corrections/dc1-forward", low, high, 50, 0.8)
		b.reflected = b.correction("corrections/dc1-reflected", low, high, 50, 0.8)
		b.forward.Decibels, b.reflected.Decibels = true, true
		for _, c := range []*Correction{b.forward, b.reflected} {
			for i := range c.Points {
				c.Points[i].Value = round(50+1.6*(b.random.Float64()-0.5), 2)
			}
		}
	}
}

// correction makes up a table that reaches a bit further than the range.
func (b *bench) correction(path string, low, high quantity.Frequency, middle, swing float64) *Correction {
	c := &Correction{File: b.Files.Correction.file(path), Decibels: b.random.IntN(2) == 0}
	n := 4 + b.random.IntN(8)
	ratio := math.Pow(float64(high/low)*1.5, 1/float64(n))
	f := float64(low) * 0.8
	for range n + 2 {
		value := round(middle+swing*(2*b.random.Float64()-1), 2)
		if !c.Decibels {
			value = round(math.Pow(10, value/20), 4)
		}
		c.Points = append(c.Points, CorrectionPoint{Frequency: quantity.Frequency(math.Round(f/1e3) * 1e3), Value: value})
		f *= ratio
	}
	return c
}

func round(x float64, decimals int) float64 {
	scale := math.Pow(10, float64(decimals))
	return math.Round(x*scale) / scale
}
