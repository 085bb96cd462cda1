package evaluate

import (
	"math"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// nearHarmonic is how near a stated harmonic's fundamental must be to a visit.
const nearHarmonic = 1e-4

// assignHarmonics gives each stated harmonic to the visits of the one frequency
// nearest to its fundamental, if that is near enough.
func assignHarmonics(stated []jobsheet.Harmonic, visits []*Visit) {
	for _, h := range stated {
		nearest, distance := quantity.Frequency(0), nearHarmonic*h.Frequency*(1+quantity.Slack)
		for _, v := range visits {
			if d := quantity.Frequency(math.Abs(float64(v.Frequency() - h.Frequency))); d <= distance {
				nearest, distance = v.Frequency(), d
			}
		}
		for _, v := range visits {
			if v.Frequency() == nearest {
				v.Harmonics = append(v.Harmonics, h)
			}
		}
	}
}

// harmonicShare returns the factor from a broadband reading to the field of the
// fundamental, where harmonics are stated for the visit: an rms detector adds
// their powers, so that reading² = fundamental² + Σ harmonic². It is not ok where
// none is stated, or where the detector does not add powers.
func (p *probeLog) harmonicShare(v *Visit, reading quantity.FieldStrength) (factor Factor, ok bool) {
	if len(v.Harmonics) == 0 || p.probe.Sheet.Detector != quantity.DetectorRMS {
		return Factor{}, false
	}
	relative, absolute := 0.0, 0.0 // Σ of the squares, to the fundamental and in (V/m)²
	for _, h := range v.Harmonics {
		if quantity.Defined(h.Level) {
			ratio := float64(h.Level.FieldFactor())
			relative += ratio * ratio
		} else {
			absolute += float64(h.Field * h.Field)
		}
	}
	square := float64(reading * reading)
	value := math.Sqrt((square - absolute) / square / (1 + relative))
	return Factor{Name: "harmonics taken off", Source: "measured, job sheet", Value: quantity.Ratio(value)}, value > 0
}

// apply multiplies every figure that is known so far, and the samples, by a factor.
func (figures *ProbeFigures) apply(factor Factor, s *series) {
	figures.Ledger = append(figures.Ledger, factor)
	figures.Factor *= factor.Value
	scale := quantity.FieldStrength(factor.Value)
	figures.Minimum *= scale
	figures.Median *= scale
	figures.Maximum *= scale
	for i := range s.field {
		s.field[i] *= float64(factor.Value)
	}
}
