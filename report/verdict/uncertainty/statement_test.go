package uncertainty

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
)

// part is a part of a contribution, a standard uncertainty in dB.
func part(name string, u quantity.Decibel, from, to quantity.Frequency, probe string) Contribution {
	c := line(u, 1)
	c.Name, c.From, c.To, c.Probe = name, from, to, probe
	return c
}

func TestOneBudgetHoldsEverywhere(t *testing.T) {
	s := State([]Contribution{part("probe", 0.3, 0, 0, ""), part("drift", 0.4, 0, 0, ""), part("drift", 1.2, 0, 0, "")}, 2)
	assert.False(t, s.Varies())
	want := Combine([]Contribution{part("probe", 0.3, 0, 0, ""), part("drift", 0.4, 0, 0, ""), part("drift", 1.2, 0, 0, "")}, 2)
	assert.Equal(t, &want, s.For(30e6), "two whole contributions of one name both count")
	assert.Same(t, s.For(30e6, "FP-03"), s.For(1e9))
	var none *Statement
	assert.Nil(t, none.For(30e6, "FP-03"))
	assert.False(t, none.Varies())
	assert.Nil(t, State(nil, 2))
}

func TestBudgetsByRangeAndProbe(t *testing.T) {
	s := State([]Contribution{part("mismatch", 0.4, 0, 0, ""),
		part("probe", 0.3, 0, 100e6, ""), part("probe", 1.0, 100e6, 200e6, "FP-03"), part("probe", 2.0, 100e6, 200e6, "FP-04")}, 2)
	require.True(t, s.Varies())
	u := func(f quantity.Frequency, probes ...string) float64 {
		b := s.For(f, probes...)
		if b == nil {
			return math.NaN()
		}
		return float64(b.Expanded)
	}
	assert.InDelta(t, 2*math.Hypot(0.4, 0.3), u(50e6, "FP-03"), 1e-12)
	assert.InDelta(t, 2*math.Hypot(0.4, 1.0), u(150e6, "FP-03"), 1e-12)
	assert.InDelta(t, 2*math.Hypot(0.4, 2.0), u(150e6, "FP-04"), 1e-12)
	assert.InDelta(t, 2*math.Hypot(0.4, 2.0), u(150e6, "FP-03", "FP-04", "FP-03"), 1e-12, "the largest of those that count")
	assert.InDelta(t, 2*math.Hypot(0.4, 1.0), u(100e6, "FP-03"), 1e-12, "at a border the larger one, and only one")

	// What is not stated is not zero.
	assert.True(t, math.IsNaN(u(150e6, "FP-05")))
	assert.True(t, math.IsNaN(u(150e6)))
	assert.True(t, math.IsNaN(u(150e6, "FP-03", "FP-05")))
	assert.True(t, math.IsNaN(u(200.1e6, "FP-03")))
	assert.False(t, Rule{Guarded: true, Guard: 1}.Accepts(100, s.For(200.1e6, "FP-03")))

	assert.Empty(t, s.Gaps(30e6, 200e6, "FP-03"))
	assert.Equal(t, []Gap{{"probe", 200e6, 250e6}}, s.Gaps(30e6, 250e6, "FP-03"))
	assert.Equal(t, []Gap{{"probe", 100e6, 200e6}}, s.Gaps(30e6, 200e6, "FP-05"))
	assert.Empty(t, s.Gaps(50e6, 50e6, "FP-05"), "one frequency alone")
	assert.Equal(t, []string{"FP-03", "FP-04"}, s.Probes())

	pieces := s.Pieces(30e6, 200e6, "FP-03")
	require.Len(t, pieces, 2)
	assert.Equal(t, quantity.Frequency(100e6), pieces[0].To)
	assert.False(t, Same(pieces, s.Pieces(30e6, 200e6, "FP-04")))
	assert.Len(t, s.Pieces(30e6, 90e6, "FP-03"), 1)
}

func TestAGapInTheMiddleIsNamed(t *testing.T) {
	s := State([]Contribution{part("a", 1, 0, 50e6, ""), part("a", 1, 60e6, 0, ""), part("b", 1, 30e6, 0, "")}, 2)
	assert.Equal(t, []Gap{{"a", 50e6, 60e6}, {"b", 20e6, 30e6}}, s.Gaps(20e6, 100e6, ""))
}

func TestEachBudgetFindsItsCoverageFactor(t *testing.T) {
	few := part("probe", 1, 0, 50e6, "")
	few.DegreesOfFreedom = 5
	s := State([]Contribution{few, part("probe", 1, 50e6, 0, "")}, quantity.Undefined[quantity.Ratio]())
	assert.InDelta(t, 2.65, float64(s.For(40e6).CoverageFactor), 0.005)
	assert.Equal(t, quantity.Ratio(2), s.For(60e6).CoverageFactor)
}
