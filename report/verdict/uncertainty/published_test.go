package uncertainty

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/quantity"
)

// Budgets of published examples are in nanometres, milligrams or per cent. The
// arithmetic is the same for decibels, so their numbers stand here as such.

// line is a contribution with a divisor.
func line(value quantity.Decibel, divisor quantity.Ratio) Contribution {
	return Contribution{Value: value, Divisor: divisor, Sensitivity: 1, DegreesOfFreedom: math.Inf(1)}
}

// standard is a contribution that is a standard uncertainty with degrees of freedom.
func standard(value quantity.Decibel, degrees float64) Contribution {
	return Contribution{Value: value, Divisor: 1, Sensitivity: 1, DegreesOfFreedom: degrees}
}

var (
	root2 = quantity.Ratio(math.Sqrt2)
	root3 = quantity.Ratio(math.Sqrt(3))
	root6 = quantity.Ratio(math.Sqrt(6))
)

// budget is one with the standard uncertainty u and k = 2.
func budget(u quantity.Decibel) *Budget {
	b := Combine([]Contribution{line(u, 1)}, 2)
	return &b
}

// JCGM 106:2012, examples of conformance probabilities. Their inputs and printed
// results are from memory; the long results are computed from the formula.
func TestConformanceProbabilityOfPublishedExamples(t *testing.T) {
	zener := budget(0.05).ConformanceProbability(-5.40 - -5.47) // upper limit −5.40 V, measured −5.47 V
	assert.InDelta(t, 0.92, zener, 0.005, "Zener voltage, as printed (from memory)")
	assert.InDelta(t, 0.919243341, zener, 1e-9)

	burst := budget(8.6).ConformanceProbability(509.7 - 490) // lower limit 490 kPa
	assert.InDelta(t, 0.99, burst, 0.005, "burst strength, a lower limit, as printed (from memory)")
	assert.InDelta(t, 0.989009547, burst, 1e-9)

	oil := budget(1.8) // viscosity 13.6 mm²/s between 12.5 and 16.3
	within := oil.ConformanceProbability(16.3-13.6) - (1 - oil.ConformanceProbability(13.6-12.5))
	assert.InDelta(t, 0.66, within, 0.005, "viscosity, as printed (from memory)")
	assert.InDelta(t, 0.662629786, within, 1e-9)
}

// Own examples of a lower limit with k = 2, computed: probability and verdicts of
// both rules.
func TestConformanceOfALowerLimit(t *testing.T) {
	guarded := Rule{Guarded: true, Guard: 1}
	for _, c := range []struct {
		name            string
		margin, u       quantity.Decibel
		probability     float64
		simple, guarded bool
	}{
		{"a little above the limit", 0.5, 0.4, 0.894350226, true, false},
		{"on the limit", 0, 0.5, 0.5, true, false},
		{"on the acceptance limit", 1, 0.5, 0.977249868, true, true},
		{"below the limit", -0.4, 0.4, 0.158655254, false, false},
		{"10.5 V/m against 10 V/m, U = 1.88 dB", quantity.FieldStrength(10.5).Over(10), 0.94, 0.673946178, true, false},
	} {
		b := budget(c.u)
		assert.InDelta(t, c.probability, b.ConformanceProbability(c.margin), 1e-9, c.name)
		assert.Equal(t, c.simple, Rule{}.Accepts(c.margin, b), "%s, simple", c.name)
		assert.Equal(t, c.guarded, guarded.Accepts(c.margin, b), "%s, guarded", c.name)
	}
	assert.InDelta(t, 12.4165, float64(quantity.FieldStrength(10).Plus(guarded.Margin(budget(0.94)))), 5e-5,
		"the acceptance limit of the last one, in V/m")
}

// The guard bands of the ILAC-G8:09/2019 table and their published bounds of the
// risk of accepting what does not conform, k = 2, one-sided. A bound is rounded
// up, so the exact risk on the acceptance limit lies below it.
func TestGuardBands(t *testing.T) {
	for _, c := range []struct {
		source string
		rule   Rule
		bound  float64
		exact  float64 // computed, 1 − Φ(2w/U)
	}{
		{"ILAC-G8:2009, w = U", Rule{Guarded: true, Guard: 1}, 0.025, 0.022750},
		{"ISO 14253-1:2017, w = 0.83 U", Rule{Guarded: true, Guard: 0.83}, 0.05, 0.048457},
		{"3-sigma, w = 1.5 U", Rule{Guarded: true, Guard: 1.5}, 0.0016, 0.0013499},
		{"6-sigma, w = 3 U", Rule{Guarded: true, Guard: 3}, 1e-6, 9.866e-10},
	} {
		b := budget(0.4)
		risk := 1 - b.ConformanceProbability(c.rule.Margin(b))
		assert.Less(t, risk, c.bound, c.source)
		assert.InDelta(t, c.exact, risk, 1e-6, c.source)
	}
	b := budget(0.4)
	assert.InDelta(t, 0.5, 1-b.ConformanceProbability(Rule{}.Margin(b)), 1e-15, "simple acceptance, at most 50 %")
}

// A specification of 10 ± 1 with U = 0.2 (a training article on ILAC-G8, 24
// October 2024): the acceptance limit below 11 for each guard band.
func TestPublishedAcceptanceLimits(t *testing.T) {
	for guard, want := range map[quantity.Ratio]float64{0.83: 10.834, 1: 10.8, 1.5: 10.7, 3: 10.4} {
		assert.InDelta(t, want, 11-float64(Rule{Guarded: true, Guard: guard}.Margin(budget(0.1))), 1e-12)
	}
}

// Quantiles of the standard normal distribution, as tables print them.
func TestNormalQuantiles(t *testing.T) {
	for p, z := range map[float64]quantity.Decibel{0.80: 0.8416, 0.90: 1.2816, 0.95: 1.6449, 0.975: 1.9600, 0.99: 2.3263, 0.999: 3.0902} {
		assert.InDelta(t, p, budget(1).ConformanceProbability(z), 2e-5)
	}
}

// JCGM 100:2008 H.1, the end gauge. Its inputs and u_c = 32 nm are published and
// were read in two worked reprints; ν_eff 16.7, t99 2.92 and U99 93 nm are from
// memory.
func TestEndGauge(t *testing.T) {
	d := Combine([]Contribution{standard(5.8, 24), standard(3.9, 5), standard(6.7, 8)}, 2)
	assert.InDelta(t, 9.7, float64(d.Standard), 0.05, "H.1.3.2, the difference of the lengths")
	rounded := d.DegreesOfFreedom * math.Pow(9.7/float64(d.Standard), 4)
	assert.InDelta(t, 25.6, rounded, 0.05, "H.1.6, which goes on with the rounded 9.7 nm")

	b := Combine([]Contribution{standard(25, 18), standard(9.7, 25.6), standard(2.9, 50), standard(16.6, 2)}, 2)
	assert.InDelta(t, 32, float64(b.Standard), 0.5, "H.1.4")
	assert.InDelta(t, 31.67, float64(b.Standard), 0.005)
	assert.InDelta(t, 16.7, b.DegreesOfFreedom, 0.1, "H.1.6 (from memory)")
	assert.Equal(t, 16.0, b.TruncatedDegrees(), "H.1.6 (from memory)")
	k := b.CoverageFromT(0.99)
	assert.InDelta(t, 2.92, float64(k), 0.005, "H.1.6 (from memory)")
	assert.InDelta(t, 2.92078, float64(k), 5e-6)
	assert.InDelta(t, 93, float64(k)*float64(b.Standard), 0.6, "H.1.6 (from memory)")
}

// JCGM 100:2008 G.4.1 (from memory): relative uncertainties of 0.25, 0.57 and
// 0.82 % from 10, 5 and 15 observations give u_c 1.03 %, ν_eff 19.0 and U95 2.2 %.
func TestEffectiveDegreesOfFreedom(t *testing.T) {
	b := Combine([]Contribution{standard(0.25, 9), standard(0.57, 4), standard(0.82, 14)}, 2)
	assert.InDelta(t, 1.03, float64(b.Standard), 0.005)
	assert.InDelta(t, 1.02947, float64(b.Standard), 5e-6)
	assert.InDelta(t, 19.0, b.DegreesOfFreedom, 0.05)
	assert.InDelta(t, 2.2, float64(b.CoverageFromT(0.95))*float64(b.Standard), 0.05)
	nineteen := Budget{DegreesOfFreedom: 19}
	assert.InDelta(t, 2.09302, float64(nineteen.CoverageFromT(0.95)), 5e-6, "t95(19) is printed as 2.09")
}

// The t-distribution at 95.45 %, JCGM 100:2008 table G.2 (from memory).
func TestCoverageFactors(t *testing.T) {
	for degrees, want := range map[float64]float64{1: 13.97, 2: 4.53, 3: 3.31, 4: 2.87, 5: 2.65, 8: 2.37, 10: 2.28, 16: 2.17, 20: 2.13, 50: 2.05} {
		assert.InDelta(t, want, float64(Budget{DegreesOfFreedom: degrees}.CoverageFromT(0.9545)), 0.005, "ν = %v", degrees)
		assert.InDelta(t, want, float64(Budget{DegreesOfFreedom: degrees + 0.9}.CoverageFromT(0.9545)), 0.005, "ν = %v, cut down", degrees+0.9)
	}
	assert.InDelta(t, 2, float64(Budget{DegreesOfFreedom: math.Inf(1)}.CoverageFromT(0.9545)), 1e-4, "many degrees")
	assert.InDelta(t, 3.74695, float64(Budget{DegreesOfFreedom: 4}.CoverageFromT(0.98)), 5e-6, "1 % on one side, ν = 4")
	assert.InDelta(t, 2.26, float64(Budget{DegreesOfFreedom: 9}.CoverageFromT(0.95)), 0.005, "JCGM 100 7.2 (from memory)")
}

// The three well-known parts of a normal distribution (JCGM 100:2008 table G.1, from
// memory).
func TestNormalCoverage(t *testing.T) {
	for k, want := range map[quantity.Ratio]float64{1: 0.6827, 2: 0.9545, 3: 0.9973} {
		assert.InDelta(t, want, Budget{CoverageFactor: k}.NormalCoverage(), 5e-5, "k = %v", k)
	}
	assert.True(t, math.IsNaN(Budget{CoverageFactor: quantity.Undefined[quantity.Ratio]()}.NormalCoverage()))
}

func TestCoverageFactorUndefined(t *testing.T) {
	for _, c := range []struct{ degrees, probability float64 }{
		{10, 0}, {10, 1}, {10, -0.5}, {10, math.NaN()}, {0.9, 0.95}, {math.NaN(), 0.95},
	} {
		assert.False(t, quantity.Defined(Budget{DegreesOfFreedom: c.degrees}.CoverageFromT(c.probability)), "%+v", c)
	}
}

// IEC 61000-4-3 Annex J (from memory; the sums close): the budget of a
// calibration and that of a level setting built on it.
func TestImmunityBudget(t *testing.T) {
	calibration := Combine([]Contribution{line(1.7, 2), line(0.3, root3), line(0.2, root3), line(0.6, root3)}, 2)
	for i, want := range []float64{0.85, 0.17, 0.12, 0.35} {
		assert.InDelta(t, want, float64(calibration.Contributions[i].Standard), 0.005)
	}
	assert.InDelta(t, 0.9412, float64(calibration.Standard), 5e-5)
	assert.InDelta(t, 1.88, float64(calibration.Expanded), 0.005)

	setting := Combine([]Contribution{line(1.88, 2), line(0.38, 1), line(0.3, root3), line(0.2, root3), line(0.6, root3), line(0.13, root3)}, 2)
	assert.InDelta(t, 1.0941, float64(setting.Standard), 5e-5)
	assert.InDelta(t, 2.19, float64(setting.Expanded), 0.01)
	assert.True(t, math.IsInf(setting.DegreesOfFreedom, 1))
}

// Further published sums (from memory): EA-4/02 S2, the 10 kg weight, and the
// conversions of JCGM 100:2008 4.3.
func TestStandardUncertainties(t *testing.T) {
	weight := Combine([]Contribution{line(22.5, 1), line(8.95, 1), line(14.4, 1), line(5.77, 1), line(5.77, 1)}, 2)
	assert.InDelta(t, 29.3, float64(weight.Standard), 0.05, "EA-4/02 S2")
	assert.InDelta(t, 59, float64(weight.Expanded), 0.5, "EA-4/02 S2")

	for _, c := range []struct {
		what    string
		value   quantity.Decibel
		divisor quantity.Ratio
		want    float64
	}{
		{"JCGM 100 4.3.4, 129 µΩ at 99 %", 129, 2.58, 50.0},
		{"JCGM 100 4.3.3, 240 µg at three standard deviations", 240, 3, 80.0},
		{"JCGM 100 4.3.7, rectangular", 0.40, root3, 0.2309},
		{"triangular, computed", 1, root6, 0.40825},
		{"u-shaped, computed: mismatch of two reflections of 0.2", 0.35458, root2, 0.25072},
	} {
		assert.InEpsilon(t, c.want, float64(Combine([]Contribution{line(c.value, c.divisor)}, 2).Standard), 1e-3, c.what)
	}
}

// Terms in decibels add as a root of the sum of squares (computed); a sensitivity
// weighs its term, and its sign does not matter.
func TestCombine(t *testing.T) {
	b := Combine([]Contribution{line(0.5, 1), line(0.1, 1), line(1, 1)}, 2)
	assert.InDelta(t, 1.1225, float64(b.Standard), 5e-5)
	weighed := []Contribution{{Value: 0.49, Divisor: root6, Sensitivity: -1.2, DegreesOfFreedom: 20}}
	b = Combine(weighed, 3)
	assert.InDelta(t, 1.2*0.49/math.Sqrt(6), float64(b.Standard), 1e-15)
	assert.InDelta(t, 3*float64(b.Standard), float64(b.Expanded), 1e-15)
	assert.InDelta(t, 20, b.DegreesOfFreedom, 1e-9, "one contribution alone keeps its degrees")
	assert.Zero(t, weighed[0].Standard, "the caller's list stays as it was")
	nothing := Combine(nil, 2)
	assert.Zero(t, nothing.Standard)
	assert.True(t, math.IsInf(nothing.DegreesOfFreedom, 1))
}

// A figure that is missing is never a pass.
func TestMissingEvidenceIsNotAccepted(t *testing.T) {
	undefined := quantity.Undefined[quantity.Decibel]()
	guarded := Rule{Guarded: true, Guard: 1}
	assert.False(t, Rule{}.Accepts(undefined, nil))
	assert.False(t, guarded.Accepts(undefined, budget(0.5)))
	assert.False(t, guarded.Accepts(100, nil), "guarded acceptance needs an uncertainty")
	assert.False(t, guarded.Accepts(100, budget(0)), "an uncertainty of 0 dB is none")
	assert.True(t, math.IsNaN(budget(0).ConformanceProbability(1)), "nor does it give a probability")
	assert.True(t, Rule{}.Accepts(0, nil), "simple acceptance does not")
	assert.True(t, Rule{}.Accepts(-0.9e-9, nil), "the slack of levels")
	assert.False(t, Rule{}.Accepts(-1.1e-9, nil), "no more than that")
	assert.True(t, guarded.Accepts(1-0.9e-9, budget(0.5)))
	assert.False(t, guarded.Accepts(1-1.1e-9, budget(0.5)))
}
