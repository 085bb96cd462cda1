package demoday

import (
	"math"
	"math/rand/v2"
	"time"

	"fieldheld/ingest/quantity"
)

// hold is one visit as it is played: the leveller raises the field, overshoots
// a little, settles, holds with ripple and drift, and switches off.
type hold struct {
	visit      Visit
	on         quantity.Instant       // the field begins to rise
	rise       time.Duration          // until the level is reached
	aim        quantity.FieldStrength // corrected field that the leveller aims at
	overshoot  quantity.Decibel       // above aim when the level is first reached
	ripple     quantity.Decibel       // amplitude of a slow swing
	swing      time.Duration          // its period
	phase      float64                // its phase in radians
	drift      quantity.Decibel       // over the visit, half of it on either side of aim
	perRoot    float64                // field per root watt, V/m/√W
	reflection float64                // reflected over forward power
	direction  [3]float64             // unit vector of the field at the probe
}

// riseFrom is how far below the aim the leveller begins.
const riseFrom quantity.Decibel = 26

// settling is the time constant with which an overshoot dies.
const settling = 120 * time.Millisecond

// off reports whether the field is off at t.
func (h *hold) off(t quantity.Instant) bool { return t < h.on || t >= h.visit.End }

// level is the corrected field at t while the field is on, without noise.
func (h *hold) level(t quantity.Instant) quantity.FieldStrength {
	since := t.Sub(h.on)
	if since < h.rise {
		missing := 1 - since.Seconds()/h.rise.Seconds()
		return h.aim.Plus(h.overshoot - riseFrom*quantity.Decibel(missing))
	}
	after := since - h.rise
	over := float64(h.overshoot) * math.Exp(-after.Seconds()/settling.Seconds())
	swing := float64(h.ripple) * math.Sin(h.phase+2*math.Pi*after.Seconds()/h.swing.Seconds())
	middle := h.visit.Start.Add(h.visit.End.Sub(h.visit.Start) / 2)
	drift := float64(h.drift) * t.Sub(middle).Seconds() / h.visit.End.Sub(h.visit.Start).Seconds()
	return h.aim.Plus(quantity.Decibel(over + swing + drift))
}

// forward is the forward power at t while the field is on, without noise.
func (h *hold) forward(t quantity.Instant) quantity.Power {
	root := float64(h.level(t)) / h.perRoot
	return quantity.Power(root * root)
}

// noise returns a factor that scatters by a deviation in decibels and stays
// within three of them.
func noise(random *rand.Rand, deviation quantity.Decibel) float64 {
	scatter := max(-3, min(3, random.NormFloat64()))
	return float64((deviation * quantity.Decibel(scatter)).FieldFactor())
}

// floorReading is what a probe shows when there is no field.
func floorReading(random *rand.Rand) quantity.FieldStrength {
	return quantity.FieldStrength(0.15 + 0.1*random.Float64())
}

// antenna says how a tunable antenna turns power into field. Between two
// settings of its elements the match is best in the middle.
type antenna struct {
	at32MHz float64 // field per root watt at 32 MHz, V/m/√W
	slope   float64 // exponent of its growth with frequency
	waves   []wave  // standing waves of the chamber
	spans   []span  // settings of the elements, ascending
}

// wave is a ripple of the field over the logarithm of frequency.
type wave struct {
	amplitude    quantity.Decibel
	perOctave    float64
	phaseRadians float64
}

// span is the range of one setting of the elements and the VSWR at its ends.
type span struct {
	from, to quantity.Frequency
	edge     float64
}

const bestMatch = 1.12 // VSWR in the middle of a span

// standingWaveRatio returns the VSWR at a frequency.
func (a *antenna) standingWaveRatio(f quantity.Frequency) float64 {
	for _, s := range a.spans {
		if f < s.to || s == a.spans[len(a.spans)-1] {
			middle := math.Sqrt(float64(s.from * s.to))
			away := math.Log(float64(f)/middle) / math.Log(float64(s.to)/middle)
			return bestMatch + (s.edge-bestMatch)*min(1, away*away)
		}
	}
	return bestMatch
}

// reflectionOf returns reflected over forward power for a VSWR.
func reflectionOf(vswr float64) float64 {
	gamma := (vswr - 1) / (vswr + 1)
	return gamma * gamma
}

// perRootWatt returns the field per root of forward power at a frequency, the
// mismatch included.
func (a *antenna) perRootWatt(f quantity.Frequency) float64 {
	octaves := math.Log2(float64(f) / 32e6)
	level := 0.0
	for _, w := range a.waves {
		level += float64(w.amplitude) * math.Sin(2*math.Pi*w.perOctave*octaves+w.phaseRadians)
	}
	k := a.at32MHz * math.Pow(2, a.slope*octaves) * math.Pow(10, level/20)
	return k * math.Sqrt(1-reflectionOf(a.standingWaveRatio(f)))
}

// spans divides a range into settings of the elements, each about width wide as
// a part of its frequency; edge gives the VSWR at the ends of each.
func spans(from, to quantity.Frequency, width float64, edge func() float64) []span {
	n := int(math.Ceil(math.Log(float64(to/from)) / math.Log(1+width)))
	ratio := math.Pow(float64(to/from), 1/float64(n))
	list := make([]span, n)
	at := from
	for i := range list {
		next := quantity.Frequency(float64(at) * ratio)
		list[i] = span{from: at, to: next, edge: edge()}
		at = next
	}
	return list
}
