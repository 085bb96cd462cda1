package evaluate

import (
	"math"
	"slices"

	"fieldheld/ingest/quantity"
)

// A level that was set unmodulated and then modulated within one visit reads
// higher before the modulation came on: taken for one dwell, its first part would
// lend the second a level that was not there. What tells it from a field that
// merely changed is that both parts are steady and their ratio is that of the
// modulation.
const (
	levellingFactor  = 1.05      // a modulation factor up to this tells nothing
	levellingNear    = 0.1       // how near the ratio of the parts is to the factor, as a part of it
	levellingSamples = 3         // least samples of a part
	levellingTime    = 0.3 * 1e9 // least time of a part from its first to its last sample, ns
	highPart         = 0.9       // of a part's readings, for its spread
	lowPart          = 1 - highPart
)

// levelled reports whether the samples of a visit fall into two steady parts of
// which the first reads higher by the modulation factor, and where the second
// begins, as an index of the window's samples.
func (p *probeLog) levelled(v *Visit, factor quantity.Ratio) (second int, found bool) {
	first := p.spans[v.Index].from
	return p.samples.falls(float64(factor), func(i int) float64 { return float64(p.probe.Log.Readings[first+i]) })
}

// falls reports whether what the valid samples show falls by a factor in mid-visit,
// from one steady part to another, and where the second begins.
func (s *series) falls(m float64, shown func(sample int) float64) (second int, found bool) {
	if !(m > levellingFactor) {
		return 0, false
	}
	var at, readings []float64
	var index []int
	least, most := math.Inf(1), 0.0
	for i, valid := range s.valid {
		if valid {
			reading := shown(i)
			at, readings, index = append(at, s.at[i]), append(readings, reading), append(index, i)
			least, most = min(least, reading), max(most, reading)
		}
	}
	n := len(readings)
	if n < 2*levellingSamples || most < least*m*(1-levellingNear) {
		return 0, false // no split can have that ratio
	}
	spread := 1 + (m-1)/3
	before := partsOf(readings)
	slices.Reverse(readings)
	after := partsOf(readings)
	for k := levellingSamples; k <= n-levellingSamples; k++ {
		a, b := before[k], after[n-k]
		if at[k-1]-at[0] < levellingTime || at[n-1]-at[k] < levellingTime || a.spread > spread || b.spread > spread {
			continue
		}
		if ratio := a.median / b.median; math.Abs(ratio-m) <= levellingNear*m {
			return index[k], true
		}
	}
	return 0, false
}

// part is what the first readings of a visit, or the last, say together.
type part struct{ median, spread float64 }

// partsOf returns, for every k, the part of the first k values: their median, and
// the ratio of their 90th to their 10th percentile.
func partsOf(values []float64) []part {
	ranks := quantity.NewRanks(values)
	parts := make([]part, len(values)+1)
	for k, value := range values {
		ranks.Add(value)
		parts[k+1] = part{median: ranks.Percentile(0.5), spread: ranks.Percentile(highPart) / ranks.Percentile(lowPart)}
	}
	return parts
}
