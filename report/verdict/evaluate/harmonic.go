package evaluate

import (
	"math"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// nearHarmonic is how near a stated harmonic's fundamental must be to a visit.
const nearHarmonic = 1e-4

// assignHarmonics gives each stated harmonic to the visits of the one frequency
// nearest to its fundamental, and returns those that meet no visit.
func assignHarmonics(stated []jobsheet.Harmonic, visits []*Visit) (idle []jobsheet.Harmonic) {
	for _, h := range stated {
		nearest, distance := quantity.Undefined[quantity.Frequency](), nearHarmonic*h.Frequency*(1+quantity.Slack)
		for _, v := range visits {
			if d := quantity.Frequency(math.Abs(float64(v.Frequency() - h.Frequency))); d <= distance {
				nearest, distance = v.Frequency(), d
			}
		}
		if !quantity.Defined(nearest) {
			idle = append(idle, h)
			continue
		}
		for _, v := range visits {
			if v.Frequency() == nearest {
				v.Harmonics = append(v.Harmonics, h)
			}
		}
	}
	return idle
}

// takeHarmonicsOff brings the figures and samples of a visit from a broadband
// reading to the field of the fundamental, where harmonics are stated for it. An
// rms detector adds their powers, so that reading² = fundamental² + Σ harmonic²;
// other detectors do not, and their readings stay as they are. Harmonics as strong
// as the reading leave no field: then nothing is defined.
func (figures *SourceFigures) takeHarmonicsOff(v *Visit, p *probeLog) {
	if len(v.Harmonics) == 0 || p.probe.Sheet.Detector != quantity.DetectorRMS {
		return
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
	square := float64(figures.Median * figures.Median)
	share := math.Sqrt((square - absolute) / square / (1 + relative))
	if !(share > 0) {
		undefined := quantity.Undefined[quantity.FieldStrength]()
		figures.NoField, figures.Minimum, figures.Median, figures.Maximum = true, undefined, undefined, undefined
		return
	}
	figures.Ledger = append(figures.Ledger, Factor{Name: "harmonics taken off", Source: "measured, job sheet", Value: quantity.Ratio(share)})
	figures.Factor *= quantity.Ratio(share)
	scale := quantity.FieldStrength(share)
	figures.Minimum *= scale
	figures.Median *= scale
	figures.Maximum *= scale
	for i := range p.samples.field {
		p.samples.field[i] *= share
	}
}
