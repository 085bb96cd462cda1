package record

import (
	"sort"

	"fieldheld/ingest/quantity"
)

// At returns the correction at a frequency: linear in dB over the logarithm of
// frequency. It is NaN outside the table, for there is no extrapolation; the ends
// carry the slack of borders.
func (c *Correction) At(f quantity.Frequency) quantity.Decibel {
	points := c.Points
	n := len(points)
	if n == 0 || !f.Within(points[0].Frequency, points[n-1].Frequency) {
		return quantity.Undefined[quantity.Decibel]()
	}
	i := sort.Search(n, func(i int) bool { return points[i].Frequency >= f })
	switch {
	case i == n:
		return points[n-1].Factor
	case i == 0 || points[i].Frequency == f:
		return points[i].Factor
	}
	low, high := points[i-1], points[i]
	return low.Factor + quantity.Decibel(f.LogPart(low.Frequency, high.Frequency))*(high.Factor-low.Factor)
}
