package quantity

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestMedianAgreesWithSorting(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for range 5000 {
		values := make([]float64, 1+random.IntN(30))
		whole := make([]int64, len(values))
		for i := range values {
			whole[i] = random.Int64N(10)
			values[i] = float64(whole[i])
		}
		sorted := slices.Sorted(slices.Values(values))
		n := len(sorted)
		want := (sorted[(n-1)/2] + sorted[n/2]) / 2
		assert.Equal(t, want, Median(values))
		assert.Equal(t, want, Median(whole))
	}
	assert.True(t, math.IsNaN(Median[float64](nil)))
}
