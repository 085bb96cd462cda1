package demoday

import (
	"math"
	"math/rand/v2"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// The story of the demo, told by its files:
//
// Tallholm EMC Laboratory exposes the winch controller WK-3 to 200 V/m from 30
// to 200 MHz. The stored settings of the tunable antenna leave a VSWR of up to
// 2.3 between two settings. At one setting of each polarization it is worse: the
// amplifier folds back when too much power returns, and the level is missed. The
// bench changes those settings by hand and repeats the steps: at the end of H1,
// and for the vertical polarization as a run of its own, V2, together with a step
// during which the link to the probe was lost for a moment. Two vertical steps at
// a resonance of the antenna mast are left out, as agreed with the customer: the
// day is demonstrated with deviations. The article slowed down near 61.4 MHz at
// 142 V/m, so it did not withstand the field there: what was shown of the field
// and what the article did are two statements.
const (
	demoFrom, demoTo                        = 30e6, 200e6
	demoStep                                = 0.005
	demoSettle                              = 500 * time.Millisecond
	demoLimit        quantity.FieldStrength = 200
	demoMargin       quantity.Decibel       = 0.55 // of the level aimed at over the limit
	demoFoldBack     quantity.Power         = 235  // reflected power that the amplifier allows
	demoEvent        quantity.Frequency     = 61.4e6
	demoMast         quantity.Frequency     = 88.8e6 // resonance of the antenna mast
	demoLinkLost     quantity.Frequency     = 152e6
	demoTroubleH     quantity.Frequency     = 41.3e6
	demoTroubleV     quantity.Frequency     = 66.5e6
	demoMeterClock                          = -800 * time.Millisecond // offset of the power meter's clock
)

// demo is the bench during the demo's day.
type demo struct {
	random     *rand.Rand
	day        *Day
	zone       *time.Location
	modulation quantity.Modulation
	probe      *Correction
	forward    *Correction
	reflected  *Correction
}

// Demo returns the demo's day.
func Demo() *Day {
	b := newDemo()
	h, v := b.antenna(demoTroubleH, 3.7), b.antenna(demoTroubleV, 4.7)
	retuned := b.retuned(v, demoTroubleV)

	horizontal := b.run("H1", "horizontal", "T-H")
	scene, missed := b.sweep(horizontal, h, b.clock(9, 14), frequencies(demoFrom, demoTo, demoStep, 1e3))
	b.again(scene, horizontal, b.retuned(h, demoTroubleH), missed, 6*time.Minute)
	b.record(horizontal, scene)

	vertical := b.run("V1", "vertical", "T-V")
	scene, missed = b.sweep(vertical, v, b.clock(12, 31), withoutMast(frequencies(demoFrom, demoTo, demoStep, 1e3)))
	lost := nearest(vertical.Dwell.Visits, demoLinkLost)
	b.threshold(scene, nearest(vertical.Dwell.Visits, demoEvent))
	b.record(vertical, scene)
	loseLink(vertical.Probes[0].Log, vertical.Dwell.Visits[lost])

	repeated := b.run("V2", "vertical", "T-V")
	again := append(missed, vertical.Dwell.Visits[lost].Frequency)
	scene, _ = b.sweep(repeated, retuned, b.clock(13, 41), again)
	b.record(repeated, scene)

	b.describe(missed)
	return b.day
}

// clock returns a time of the test day.
func (b *demo) clock(hour, minute int) quantity.Instant {
	return quantity.InstantOf(time.Date(2026, 11, 18, hour, minute, 0, 0, b.zone))
}

// frequencies returns the steps from one frequency to another, each as wide as
// the part allows, rounded down to the resolution of the generator.
func frequencies(from, to quantity.Frequency, part float64, resolution quantity.Frequency) []quantity.Frequency {
	list := []quantity.Frequency{from}
	for f := from; f < to; {
		steps := math.Floor(float64(f) * (1 + part) / float64(resolution))
		f = min(to, quantity.Frequency(steps)*resolution)
		list = append(list, f)
	}
	return list
}

// withoutMast leaves out the two steps at the resonance of the antenna mast.
func withoutMast(list []quantity.Frequency) []quantity.Frequency {
	var kept []quantity.Frequency
	for _, f := range list {
		if math.Abs(float64(f/demoMast)-1) > demoStep {
			kept = append(kept, f)
		}
	}
	return kept
}

// antenna returns the tunable antenna with its stored settings, of which the
// one at trouble is off.
func (b *demo) antenna(trouble quantity.Frequency, edge float64) *antenna {
	a := &antenna{at32MHz: 5.9, slope: 0.42, waves: []wave{
		{amplitude: 0.35, perOctave: 0.9, phaseRadians: 2 * math.Pi * b.random.Float64()},
		{amplitude: 0.2, perOctave: 2.1, phaseRadians: 2 * math.Pi * b.random.Float64()},
	}}
	a.spans = spans(demoFrom, demoTo, 0.04, func() float64 { return 1.6 + 0.6*b.random.Float64() })
	*a.span(trouble) = span{from: a.span(trouble).from, to: a.span(trouble).to, edge: edge}
	return a
}

// retuned returns the antenna with the setting at a frequency put right.
func (b *demo) retuned(a *antenna, at quantity.Frequency) *antenna {
	better := *a
	better.spans = append([]span(nil), a.spans...)
	better.span(at).edge = 1.45
	return &better
}

// span returns the setting that serves a frequency.
func (a *antenna) span(f quantity.Frequency) *span {
	for i := range a.spans {
		if f < a.spans[i].to {
			return &a.spans[i]
		}
	}
	return &a.spans[len(a.spans)-1]
}

// sweep plays the steps of a run from a time on. Its second result are the
// frequencies at which the amplifier folded back before the level was reached.
func (b *demo) sweep(run *Run, a *antenna, from quantity.Instant, list []quantity.Frequency) (*scene, []quantity.Frequency) {
	s := &scene{from: from}
	at := from.Add(4 * time.Second)
	setting := a.span(list[0])
	var missed []quantity.Frequency
	for i, f := range list {
		if a.span(f) != setting || i == 0 {
			setting = a.span(f)
			moved := b.between(3, 4.5)
			run.Motion.Motions = append(run.Motion.Motions, record.Motion{Start: at, End: at.Add(moved)})
			at = at.Add(moved + b.between(0.8, 1.2))
		}
		h := b.hold(run, a, f, at)
		if !h.aim.AtLeast(demoLimit) {
			missed = append(missed, f)
		}
		s.holds = append(s.holds, h)
		run.Dwell.Visits = append(run.Dwell.Visits, h.visit)
		at = h.visit.End.Add(b.between(1.0, 1.5))
	}
	s.to = at.Add(3 * time.Second)
	return s, missed
}

// again repeats steps at the end of a run after a pause.
func (b *demo) again(s *scene, run *Run, a *antenna, list []quantity.Frequency, pause time.Duration) {
	more, _ := b.sweep(run, a, s.to.Add(pause), list)
	s.holds, s.to = append(s.holds, more.holds...), more.to
}

// hold plays one step: the leveller aims above the limit, unless the amplifier
// folds back because too much power returns.
func (b *demo) hold(run *Run, a *antenna, f quantity.Frequency, on quantity.Instant) hold {
	vswr := a.standingWaveRatio(f) * (1 + 0.01*b.random.NormFloat64())
	h := hold{
		on: on, rise: b.between(0.6, 1.0), overshoot: quantity.Decibel(0.2 + 0.9*b.random.Float64()),
		ripple: quantity.Decibel(0.02 + 0.05*b.random.Float64()), swing: b.between(0.8, 2.2), phase: 2 * math.Pi * b.random.Float64(),
		drift: quantity.Decibel(0.1 * (b.random.Float64() - 0.5)), perRoot: a.perRootWatt(f), reflection: reflectionOf(max(1.03, vswr)),
		direction: direction(b.random, run.Sheet.Polarization),
	}
	h.aim = demoLimit.Plus(demoMargin + quantity.Decibel(0.2*(b.random.Float64()-0.5)))
	wanted := math.Pow(float64(h.aim)/h.perRoot, 2)
	if allowed := float64(demoFoldBack) / h.reflection; wanted > allowed {
		h.aim, h.overshoot = quantity.FieldStrength(h.perRoot*math.Sqrt(allowed)), 0
	}
	start := on.Add(h.rise + b.between(0.2, 0.35))
	h.visit = Visit{Run: run.Sheet.ID, Polarization: run.Sheet.Polarization, Position: 1, Frequency: f, Modulation: b.modulation,
		Start: start, End: start.Add(demoSettle + 3*time.Second + b.between(0.25, 0.6)), Level: demoLimit.Plus(demoMargin)}
	return h
}

// between returns a duration between two numbers of seconds, to 10 ms.
func (b *demo) between(low, high float64) time.Duration {
	return time.Duration((low + (high-low)*b.random.Float64()) * 1e9).Round(10 * time.Millisecond)
}

// threshold inserts the search for the threshold of the article after a step:
// down until the article recovers, 6 dB further, and slowly up again.
func (b *demo) threshold(s *scene, step int) {
	const longer = 84 * time.Second
	visits := b.day.Find("V1").Dwell.Visits
	h := &s.holds[step]
	from := h.visit.End.Add(2 * time.Second)
	q := search{frequency: h.visit.Frequency, perRoot: h.perRoot, reflected: h.reflection, direction: h.direction}
	for _, p := range []struct {
		after float64
		level quantity.FieldStrength
	}{{0, 60}, {2, 196}, {7, 196}, {25, 128}, {29, 128}, {31, 64}, {36, 64}, {68, 142}, {74, 142}, {75, 20}} {
		q.points = append(q.points, searchPoint{at: from.Add(time.Duration(p.after * 1e9)), level: p.level})
	}
	s.searches = append(s.searches, q)
	for i := range s.holds {
		if i <= step {
			continue
		}
		s.holds[i].on = s.holds[i].on.Add(longer)
		s.holds[i].visit.Start = s.holds[i].visit.Start.Add(longer)
		s.holds[i].visit.End = s.holds[i].visit.End.Add(longer)
		visits[i] = s.holds[i].visit
	}
	motions := b.day.Find("V1").Motion.Motions
	for i := range motions {
		if motions[i].Start >= h.visit.End {
			motions[i].Start, motions[i].End = motions[i].Start.Add(longer), motions[i].End.Add(longer)
		}
	}
	s.to = s.to.Add(longer)
	for i := step - 1; i <= step+1; i++ {
		visits[i].Observation = "drum speed 0.46 m/s"
	}
}

// record takes the readings of a run.
func (b *demo) record(run *Run, s *scene) {
	s.readProbe(b.random, &run.Probes[0], ticks{interval: 100 * time.Millisecond, jitter: 2 * time.Millisecond}, 0.015)
	s.readPower(b.random, run, ticks{interval: time.Second, jitter: 4 * time.Millisecond}, true)
}

// nearest returns the index of the visit nearest to a frequency.
func nearest(visits []Visit, f quantity.Frequency) int {
	best := 0
	for i, v := range visits {
		if math.Abs(float64(v.Frequency-f)) < math.Abs(float64(visits[best].Frequency-f)) {
			best = i
		}
	}
	return best
}

// loseLink takes the readings out of the middle of a visit.
func loseLink(log *ProbeLog, v Visit) {
	from := v.Start.Add(1700 * time.Millisecond)
	kept := log.Samples[:0]
	for _, s := range log.Samples {
		if s.At < from || s.At >= from.Add(1400*time.Millisecond) {
			kept = append(kept, s)
		}
	}
	log.Samples = kept
}

// run returns a run without records yet and adds it to the day.
func (b *demo) run(id string, polarization quantity.Polarization, tuning string) *Run {
	undefined := quantity.Undefined[quantity.Ratio]()
	name := map[string]string{"H1": "h1", "V1": "v1", "V2": "v2"}[id]
	local := TimeStyle{Clock: "2006-01-02 15:04:05.000", Zone: b.zone}
	run := &Run{
		Sheet: jobsheet.Run{ID: id, Polarization: polarization, Position: 1, Antenna: "AN-07", Amplifier: "PA-02", Tuning: tuning,
			ForwardMax: 2500},
		Dwell: &DwellRecord{File: File{Entry: table.Entry{File: "dwell/" + name + ".csv"}, Layout: Layout{Time: local,
			Preamble: []string{"Tallholm EMC Laboratory", "Dwell record, run " + id}, Blank: true}},
			Level: true, Observation: true, Decimals: 3},
		Power: &PowerFile{File: File{Entry: table.Entry{File: "power/power.xlsx", Sheet: id, ClockOffset: demoMeterClock},
			Layout: Layout{Workbook: true, Time: TimeStyle{Kind: SerialDate, Zone: b.zone},
				Unit: map[table.Column]string{table.Forward: "dBm", table.Reflected: "dBm"}}}, Time: true, Frequency: true},
		Forward: b.forward, Reflected: b.reflected,
		Motion: &MotionRecord{File: File{Entry: table.Entry{File: "dwell/" + name + "-motion.csv"}, Layout: Layout{Time: local}}},
		Probes: []Probe{{
			Sheet: jobsheet.Probe{Asset: "FP-03", Detector: "rms", ModulationFactor: undefined,
				Range: jobsheet.Range[quantity.FieldStrength]{Low: 0.1, High: 800}, Height: 0.3},
			Log: &ProbeLog{File: File{Entry: table.Entry{File: "probe/" + name + ".csv"}, Layout: Layout{Time: local,
				Preamble: []string{"Tallholm EMC Laboratory", "Field probe FP-03, serial 4151", "Job NT-0417, run " + id}, Blank: true}},
				Axes: true, Total: true, Status: true, Battery: true},
			Correction: b.probe,
		}},
	}
	b.day.Runs = append(b.day.Runs, run)
	return run
}
