package quantity

import (
	"math"
	"slices"
	"sort"
)

// Ranks holds values of which all are known beforehand and that come one after the
// other, and tells the percentiles of those that came, each in the logarithm of
// their number: a binary indexed tree over the ranks.
type Ranks struct {
	sorted []float64 // all values, each once
	sums   []int
	top    int // the highest power of two within the ranks
	count  int
}

// NewRanks makes a Ranks for the values, of which none has come yet. None may be NaN.
func NewRanks(all []float64) *Ranks {
	sorted := slices.Clone(all)
	slices.Sort(sorted)
	sorted = slices.Compact(sorted)
	top := 1
	for top*2 <= len(sorted) {
		top *= 2
	}
	return &Ranks{sorted: sorted, sums: make([]int, len(sorted)+1), top: top}
}

// Add lets a value come.
func (r *Ranks) Add(value float64) {
	r.count++
	for i := sort.SearchFloat64s(r.sorted, value) + 1; i < len(r.sums); i += i & -i {
		r.sums[i]++
	}
}

// Percentile returns the value below which the share of those that came lies,
// linear between ordered values; NaN where none came. A share of 0.5 is the median.
func (r *Ranks) Percentile(share float64) float64 {
	if r.count == 0 {
		return math.NaN()
	}
	place := share * float64(r.count-1)
	low := math.Floor(place)
	value := r.nth(int(low))
	if place > low {
		value += (place - low) * (r.nth(int(low)+1) - value)
	}
	return value
}

// nth returns the n-th smallest value that came, counted from 0.
func (r *Ranks) nth(n int) float64 {
	rank := 0
	for step := r.top; step > 0; step /= 2 {
		if next := rank + step; next < len(r.sums) && r.sums[next] <= n {
			rank, n = next, n-r.sums[next]
		}
	}
	return r.sorted[rank]
}
