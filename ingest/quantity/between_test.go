package quantity

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A level that falls by 20 dB a decade is 10 V/m two decades above 1 kV/m, and lies
// 6.0206 dB lower an octave up (20 lg 2).
func TestALevelBetweenTwoIsStraightInDecibelsOverTheLogarithm(t *testing.T) {
	low, high := FieldStrength(1000), FieldStrength(10)
	at := func(f Frequency) FieldStrength { return low.Between(high, f.LogPart(1e6, 1e8)) }
	assert.InDelta(t, 1000, float64(at(1e6)), 1e-9)
	assert.InDelta(t, 100, float64(at(1e7)), 1e-9)
	assert.InDelta(t, 10, float64(at(1e8)), 1e-9)
	assert.InDelta(t, -6.0206, float64(at(2e6).Over(low)), 1e-4)
	assert.True(t, math.IsNaN(float64(at(Undefined[Frequency]()))))
}
