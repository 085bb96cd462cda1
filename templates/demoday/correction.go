package demoday

import (
	"math"
	"sort"

	"fieldheld/ingest/quantity"
)

// decibels returns the correction at a frequency in decibels, straight between
// the points in decibels over the logarithm of frequency. A plain factor counts
// for a field (perDecade 20) or a power (perDecade 10). It is not defined
// outside the table.
func (c *Correction) decibels(f quantity.Frequency, perDecade float64) quantity.Decibel {
	level := func(i int) float64 {
		if c.Decibels {
			return c.Points[i].Value
		}
		return perDecade * math.Log10(c.Points[i].Value)
	}
	above := sort.Search(len(c.Points), func(i int) bool { return f.AtOrBelow(c.Points[i].Frequency) })
	if above == len(c.Points) || above == 0 && !c.Points[0].Frequency.AtOrBelow(f) {
		return quantity.Undefined[quantity.Decibel]()
	}
	if above == 0 {
		return quantity.Decibel(level(0))
	}
	low, high := c.Points[above-1].Frequency, c.Points[above].Frequency
	part := f.LogPart(low, high)
	return quantity.Decibel(level(above-1) + part*(level(above)-level(above-1)))
}

// fieldFactor is the factor of a field-probe reading; 1 without a table.
func (c *Correction) fieldFactor(f quantity.Frequency) quantity.Ratio {
	if c == nil {
		return 1
	}
	return c.decibels(f, 20).FieldFactor()
}

// powerFactor is the correction of a power reading in decibels; 0 without a table.
func (c *Correction) powerFactor(f quantity.Frequency) quantity.Decibel {
	if c == nil {
		return 0
	}
	return c.decibels(f, 10)
}

// carrierFactor is what a reading is multiplied by to give the level of the
// unmodulated carrier, for an ideal detector.
func carrierFactor(detector string, m quantity.Modulation) quantity.Ratio {
	amount := float64(m.Amount)
	switch {
	case m.Kind == quantity.Pulse && detector == "rms":
		return quantity.Ratio(1 / math.Sqrt(amount))
	case m.Kind == quantity.Pulse && detector == "mean":
		return quantity.Ratio(1 / amount)
	case m.Kind == quantity.AM && detector == "rms":
		return quantity.Ratio(1 / math.Sqrt(1+amount*amount/2))
	case m.Kind == quantity.AM && detector == "peak":
		return quantity.Ratio(1 / (1 + amount))
	default:
		return 1
	}
}

// modulationFactor is the factor of a probe's readings during a visit.
func (p *Probe) modulationFactor(m quantity.Modulation) quantity.Ratio {
	switch {
	case p.Sheet.Unmodulated || m.Kind == quantity.CW:
		return 1
	case quantity.Defined(p.Sheet.ModulationFactor):
		return p.Sheet.ModulationFactor
	default:
		return carrierFactor(p.Sheet.Detector, m)
	}
}
