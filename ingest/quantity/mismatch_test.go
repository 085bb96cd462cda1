package quantity

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// VSWR and return loss against a published conversion table (elsema.com,
// "VSWR effects": return loss and reflected power, one decimal each) and against
// the formulae computed to more digits: ρ = (v−1)/(v+1), RL = −20·log10 ρ.
func TestPublishedMismatch(t *testing.T) {
	for _, c := range []struct {
		vswr, loss, percent    float64 // computed
		published, publishedOf string  // return loss dB, reflected power %; "" where not printed
	}{
		{1.05, 32.256, 0.059, "32.3", "0.1"},
		{1.10, 26.444, 0.227, "26.4", "0.2"},
		{1.20, 20.828, 0.826, "20.8", "0.8"},
		{1.25, 19.085, 1.235, "19.1", "1.2"},
		{1.30, 17.692, 1.701, "17.7", "1.7"},
		{1.40, 15.563, 2.778, "15.6", "2.8"},
		{1.50, 13.979, 4.000, "14.0", "4.0"},
		{1.60, 12.736, 5.325, "12.7", "5.3"},
		{1.70, 11.725, 6.722, "11.7", "6.7"},
		{1.80, 10.881, 8.163, "10.9", "8.2"},
		{2.00, 9.542, 11.111, "", ""},
		{3.00, 6.021, 25.000, "", ""},
		{5.00, 3.522, 44.444, "", ""},
		{10.0, 1.743, 66.942, "", ""},
	} {
		vswr, loss := Mismatch(100, Power(c.percent))
		assert.InEpsilon(t, c.vswr, float64(vswr), 3e-4, "%v %% reflected", c.percent)
		assert.InDelta(t, c.loss, float64(loss), 0.04, "%v %% reflected", c.percent)

		rho := (c.vswr - 1) / (c.vswr + 1)
		vswr, loss = Mismatch(100, Power(100*rho*rho))
		assert.InEpsilon(t, c.vswr, float64(vswr), 1e-12)
		assert.InDelta(t, c.loss, float64(loss), 5e-4)
		if c.published != "" {
			assert.Equal(t, c.published, fmt.Sprintf("%.1f", float64(loss)), "published return loss at %v", c.vswr)
			assert.Equal(t, c.publishedOf, fmt.Sprintf("%.1f", 100*math.Pow(10, -float64(loss)/10)), "published reflected power at %v", c.vswr)
		}
	}
}

// Common practice of the trade, no source: a VSWR of 2 returns 11 % of the power.
func TestMismatchOfATunableAntenna(t *testing.T) {
	vswr, _ := Mismatch(1200, 0.11*1200)
	assert.InDelta(t, 2, float64(vswr), 0.02)
}

func TestMismatchUndefined(t *testing.T) {
	nan := Undefined[Power]()
	for _, c := range []struct{ forward, reflected Power }{
		{100, 101}, {100, 100}, {0, 0}, {0, 1}, {100, -1}, {nan, 1}, {100, nan}, {Power(math.Inf(-1)), 1},
	} {
		vswr, loss := Mismatch(c.forward, c.reflected)
		assert.False(t, Defined(vswr), "%+v", c)
		assert.False(t, Defined(loss), "%+v", c)
	}
	vswr, loss := Mismatch(100, 0)
	assert.Equal(t, Ratio(1), vswr)
	assert.False(t, Defined(loss), "nothing comes back, so the loss has no end")
}
