package requirement

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/quantity"
)

var both = []quantity.Polarization{quantity.Horizontal, quantity.Vertical}

// sloped has a falling and a rising segment that meet with different levels, a
// gap, and a part that only the vertical polarization has.
func sloped() *Requirement {
	return &Requirement{
		Limits: []Limit{
			{From: 200e6, To: 297e6, LowLevel: 30, HighLevel: 18.75, Polarizations: both},
			{From: 297e6, To: 362e6, LowLevel: 15, HighLevel: 45, Polarizations: both},
			{From: 500e6, To: 600e6, LowLevel: 10, HighLevel: 10, Polarizations: []quantity.Polarization{quantity.Vertical}},
			{From: 900e6, To: 1e9, LowLevel: 7, HighLevel: 7, Polarizations: both, Optional: "900-1000 MHz"},
		},
		Steps: []StepRule{{From: 200e6, To: 1e9, Max: 0.01}},
	}
}

func TestLimitBetweenItsEnds(t *testing.T) {
	r := sloped()
	for _, c := range []struct {
		f    quantity.Frequency
		want float64
		why  string
	}{
		{200e6, 30, "the beginning is exactly as written"},
		{362e6, 45, "so is the end"},
		{297e6, 18.75, "the border of two segments takes the higher"},
		{quantity.Frequency(math.Sqrt(200e6 * 297e6)), math.Sqrt(30 * 18.75), "half way in log f is half way in dB"},
		{quantity.Frequency(math.Sqrt(297e6 * 362e6)), math.Sqrt(15 * 45), "the same on a rising slope"},
		{203.88e6, 29.322604366975384, "worked out separately"},
		{359.662e6, 43.41020928732905, "worked out separately"},
		{362e6 * (1 + 0.9e-9), 45, "the end has the slack of frequencies"},
		{200e6 * (1 - 0.9e-9), 30, "so has the beginning"},
	} {
		assert.InEpsilon(t, c.want, float64(r.Limit(c.f, quantity.Horizontal)), 1e-12, "%s: %s", c.f, c.why)
	}
	assert.Equal(t, quantity.FieldStrength(30), r.Limit(200e6, quantity.Vertical), "no rounding at an end")
	assert.Equal(t, quantity.FieldStrength(45), r.Limit(362e6, quantity.Vertical), "no rounding at an end")
}

func TestNoLimitOutsideTheRanges(t *testing.T) {
	r := sloped()
	for _, c := range []struct {
		f            quantity.Frequency
		polarization string
	}{
		{199e6, string(quantity.Horizontal)}, {362e6 * (1 + 3e-9), string(quantity.Horizontal)}, {400e6, string(quantity.Vertical)}, {550e6, string(quantity.Horizontal)},
		{950e6, string(quantity.Vertical)}, {300e6, "circular"}, {quantity.Undefined[quantity.Frequency](), string(quantity.Vertical)},
	} {
		assert.False(t, quantity.Defined(r.Limit(c.f, quantity.Polarization(c.polarization))), "%s %s", c.f, c.polarization)
	}
}

func TestLimitNearAnEnd(t *testing.T) {
	r := sloped()
	const q = 1e6
	for _, c := range []struct {
		f            quantity.Frequency
		polarization string
		want         float64 // NaN: none
	}{
		{199e6, string(quantity.Horizontal), 30}, {198.9e6, string(quantity.Horizontal), math.NaN()},
		{363e6, string(quantity.Horizontal), 45}, {363.1e6, string(quantity.Horizontal), math.NaN()},
		{499.5e6, string(quantity.Vertical), 10}, {499.5e6, string(quantity.Horizontal), math.NaN()},
		{200e6, string(quantity.Horizontal), 30}, {550e6, string(quantity.Vertical), 10},
	} {
		got := float64(r.LimitNear(c.f, q, quantity.Polarization(c.polarization)))
		if math.IsNaN(c.want) {
			assert.True(t, math.IsNaN(got), "%s %s: %v", c.f, c.polarization, got)
			continue
		}
		assert.InEpsilon(t, c.want, got, 1e-12, "%s %s", c.f, c.polarization)
	}
	assert.Equal(t, quantity.FieldStrength(45), r.LimitNear(430e6, 70e6, quantity.Vertical), "between two ranges the higher")
	assert.False(t, quantity.Defined(r.LimitNear(199e6, 0, quantity.Horizontal)), "a record of binary numbers widens nothing")
}

func TestRanges(t *testing.T) {
	segment := func(from, to quantity.Frequency, polarizations ...quantity.Polarization) Limit {
		return Limit{From: from, To: to, LowLevel: 1, HighLevel: 1, Polarizations: polarizations}
	}
	for _, c := range []struct {
		name   string
		limits []Limit
		want   []Range
	}{
		{"segments that touch are one range", []Limit{segment(1e6, 2e6, both...), segment(2e6, 3e6, quantity.Vertical)},
			[]Range{{quantity.Horizontal, 1e6, 2e6}, {quantity.Vertical, 1e6, 3e6}}},
		{"whatever their order", []Limit{segment(2e6, 3e6, quantity.Vertical), segment(1e6, 2e6, quantity.Vertical)},
			[]Range{{quantity.Vertical, 1e6, 3e6}}},
		{"also where rounding parts them", []Limit{segment(1e6, 2e6, quantity.Vertical), segment(2e6*(1+0.5e-9), 3e6, quantity.Vertical)},
			[]Range{{quantity.Vertical, 1e6, 3e6}}},
		{"segments that overlap are one range", []Limit{segment(1e6, 5e6, quantity.Vertical), segment(2e6, 3e6, quantity.Vertical), segment(4e6, 6e6, quantity.Vertical)},
			[]Range{{quantity.Vertical, 1e6, 6e6}}},
		{"a gap parts two ranges", []Limit{segment(1e6, 2e6, both...), segment(2.1e6, 3e6, both...)},
			[]Range{{quantity.Horizontal, 1e6, 2e6}, {quantity.Horizontal, 2.1e6, 3e6}, {quantity.Vertical, 1e6, 2e6}, {quantity.Vertical, 2.1e6, 3e6}}},
		{"the other polarization bridges no gap", []Limit{segment(1e6, 2e6, quantity.Horizontal), segment(2e6, 3e6, quantity.Vertical), segment(3e6, 4e6, quantity.Horizontal)},
			[]Range{{quantity.Horizontal, 1e6, 2e6}, {quantity.Horizontal, 3e6, 4e6}, {quantity.Vertical, 2e6, 3e6}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, (&Requirement{Limits: c.limits}).Ranges())
		})
	}
}

func TestOverlapTakesTheHigherLevel(t *testing.T) {
	r := &Requirement{Limits: []Limit{
		{From: 1e6, To: 10e6, LowLevel: 20, HighLevel: 20, Polarizations: both},
		{From: 3e6, To: 5e6, LowLevel: 50, HighLevel: 50, Polarizations: []quantity.Polarization{quantity.Vertical}},
	}}
	assert.Equal(t, quantity.FieldStrength(50), r.Limit(4e6, quantity.Vertical))
	assert.Equal(t, quantity.FieldStrength(20), r.Limit(4e6, quantity.Horizontal))
	assert.Equal(t, quantity.FieldStrength(20), r.Limit(6e6, quantity.Vertical))
}

// However a slope is cut, the levels on what remains stay where they were.
func TestCutKeepsTheSlope(t *testing.T) {
	whole := sloped().Limits
	for _, from := range []quantity.Frequency{200e6, 220e6, 297e6, 310e6} {
		for _, to := range []quantity.Frequency{330e6, 362e6, 550e6} {
			parts := cut(whole, from, to)
			for f := from * 1.0001; f < min(to, 362e6)*0.9999; f *= 1.003 {
				want := highest(whole, f, quantity.Horizontal)
				assert.InEpsilon(t, float64(want), float64(highest(parts, f, quantity.Horizontal)), 1e-12,
					fmt.Sprintf("%s, cut to %s … %s", f, from, to))
			}
			for _, l := range parts {
				assert.Less(t, l.From, l.To)
				assert.GreaterOrEqual(t, l.From, from)
				assert.LessOrEqual(t, l.To, to)
			}
		}
	}
}
