package quantity

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
)

// The median against Median, other percentiles against their definition and, at
// the ends, against gonum's empirical quantile.
func TestRanks(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 12))
	for range 200 {
		values := make([]float64, 1+random.IntN(60))
		for i := range values {
			values[i] = float64(random.IntN(20)) / 4
		}
		ranks := NewRanks(values)
		for k, value := range values {
			ranks.Add(value)
			came := slices.Clone(values[:k+1])
			assert.InDelta(t, Median(slices.Clone(came)), ranks.Percentile(0.5), 1e-12)
			slices.Sort(came)
			assert.Equal(t, stat.Quantile(1, stat.Empirical, came, nil), ranks.Percentile(1))
			assert.Equal(t, came[0], ranks.Percentile(0))
			place := 0.9 * float64(k)
			low := int(place)
			want := came[low]
			if low < k {
				want += (place - float64(low)) * (came[low+1] - came[low])
			}
			assert.InDelta(t, want, ranks.Percentile(0.9), 1e-12)
		}
	}
	assert.True(t, math.IsNaN(NewRanks([]float64{1}).Percentile(0.5)), "nothing came")
}
