package quantity

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// in converts a number written in a unit of field strength to V/m.
func in(t *testing.T, unit string, x float64) float64 {
	t.Helper()
	convert, ok := FieldUnit(unit)
	require.True(t, ok, unit)
	return float64(convert(x))
}

// 47 CFR 1.1310 Table 1 (614 and 61.4 V/m) and DOE-HDBK-1092-2004 Table 10-2
// (27.5 V/m) print a field beside its power density. The density has to give
// the field back to the digits printed.
func TestPublishedPowerDensities(t *testing.T) {
	for _, c := range []struct {
		source  string
		density float64 // mW/cm²
		field   string  // V/m, as printed
	}{
		{"47 CFR 1.1310 Table 1", 100, "614"},
		{"47 CFR 1.1310 Table 1", 1, "61.4"},
		{"DOE-HDBK-1092-2004 Table 10-2", 0.2, "27.5"},
	} {
		decimals := 0
		if len(c.field) > 3 {
			decimals = 1
		}
		assert.Equal(t, c.field, fmt.Sprintf("%.*f", decimals, in(t, "mW/cm²", c.density)), c.source)
		assert.InEpsilon(t, in(t, "mW/cm²", c.density), in(t, "W/m²", 10*c.density), 1e-12, "%s: 1 mW/cm² is 10 W/m²", c.source)
	}
}

// FAA Order 3910.3A figure 3-1: power density in mW/cm² is E²/3770.
func TestPowerDensityFormula(t *testing.T) {
	for _, e := range []float64{1, 27.5, 200} {
		assert.InEpsilon(t, e, in(t, "mW/cm²", e*e/3770), 1e-12)
	}
}

// The same fields in the units of field logs, computed from S = E²/377 and
// dBµV/m = 20·log10 E + 120.
func TestFieldUnits(t *testing.T) {
	for _, c := range []struct{ field, level, watts, milliwatts float64 }{
		{1, 120.000, 0.0026525, 0.00026525},
		{3, 129.542, 0.023873, 0.0023873},
		{5, 133.979, 0.066313, 0.0066313},
		{10, 140.000, 0.26525, 0.026525},
		{18, 145.105, 0.85942, 0.085942},
		{20, 146.021, 1.06101, 0.106101},
		{27.5, 148.787, 2.00597, 0.200597},
		{30, 149.542, 2.38727, 0.238727},
		{50, 153.979, 6.63130, 0.66313},
		{60, 155.563, 9.54907, 0.954907},
		{61.4, 155.763, 9.99989, 0.999989},
		{100, 160.000, 26.5252, 2.65252},
		{200, 166.021, 106.101, 10.6101},
		{614, 175.763, 999.989, 99.9989},
	} {
		assert.InEpsilon(t, c.field, in(t, "dBµV/m", c.level), 1e-4, "%v dBµV/m", c.level)
		assert.InEpsilon(t, c.field, in(t, "dBV/m", c.level-120), 1e-4, "%v dBV/m", c.level-120)
		assert.InEpsilon(t, c.field, in(t, "dBmV/m", c.level-60), 1e-4, "%v dBmV/m", c.level-60)
		assert.InEpsilon(t, c.field, in(t, "W/m²", c.watts), 1e-4, "%v W/m²", c.watts)
		assert.InEpsilon(t, c.field, in(t, "mW/cm²", c.milliwatts), 1e-4, "%v mW/cm²", c.milliwatts)
		assert.InEpsilon(t, c.field, in(t, "mV/m", 1e3*c.field), 1e-12)
		assert.InEpsilon(t, c.field, in(t, "kV/m", 1e-3*c.field), 1e-12)
		assert.InDelta(t, c.level, float64(FieldStrength(c.field).Over(1e-6)), 5e-4, "%v V/m over 1 µV/m", c.field)
	}
}

// Powers and their levels, computed from P = 1 mW × 10^(dBm/10); 0 dBm and 30
// dBm are the definition.
func TestPowerLevels(t *testing.T) {
	dBm, ok := PowerUnit("dBm")
	require.True(t, ok)
	dBW, ok := PowerUnit("dBW")
	require.True(t, ok)
	for _, c := range []struct{ level, watts float64 }{
		{-30, 1e-6}, {0, 1e-3}, {10, 1e-2}, {20, 0.1}, {30, 1}, {33, 1.99526}, {40, 10}, {43, 19.9526},
		{47, 50.1187}, {50, 100}, {53, 199.526}, {60, 1000}, {70, 10000},
	} {
		assert.InEpsilon(t, c.watts, float64(dBm(c.level)), 2e-6, "%v dBm", c.level)
		assert.InEpsilon(t, c.watts, float64(dBW(c.level-30)), 2e-6, "%v dBW", c.level-30)
		assert.InDelta(t, c.level, float64(Power(c.watts).Over(1e-3)), 1e-5, "%v W", c.watts)
		assert.InEpsilon(t, c.watts, float64(Power(1e-3).Plus(Decibel(c.level))), 2e-6, "1 mW and %v dB", c.level)
	}
}

// MIL-STD-461G A.4.3.10.1 (page 193): a sensor that shows 10 V/m without and
// 5 V/m with the pulse has the factor 2, which is a detector of the mean. An
// indicated 4 V/m is then 8 V/m (computed).
func TestPublishedSensorFactor(t *testing.T) {
	pulse, err := ParseModulation("pulse 1 kHz 50 %")
	require.NoError(t, err)
	factor, err := pulse.ReadingFactor(DetectorMean)
	require.NoError(t, err)
	assert.InDelta(t, 10.0/5.0, float64(factor), 1e-12, "A.4.3.10.1")
	assert.InDelta(t, 8, 4*float64(factor), 1e-12)

	factor, err = pulse.ReadingFactor(DetectorRMS)
	require.NoError(t, err)
	assert.InDelta(t, math.Sqrt2, float64(factor), 1e-12, "a true RMS detector would have read 7.07 V/m")
	assert.InDelta(t, 3.0103, float64(factor.FieldDecibel()), 5e-5)
}

// What the detectors read of an amplitude modulated carrier, relative to the
// carrier: the peak 1 + m, the RMS value √(1 + m²/2), the mean the carrier itself
// (computed). For 80 % the peak is 1.8 times the carrier, as IEC 61000-4-3 has it
// (from memory): 10 V/m rise to 18 V/m and 11.489 V/m RMS.
func TestAmplitudeModulation(t *testing.T) {
	for _, c := range []struct{ depth, peak, peakLevel, rms, rmsLevel float64 }{
		{30, 1.30, 2.279, 1.02225, 0.191},
		{50, 1.50, 3.522, 1.06066, 0.512},
		{80, 1.80, 5.105, 1.14891, 1.206},
		{90, 1.90, 5.575, 1.18533, 1.477},
		{100, 2.00, 6.021, 1.22474, 1.761},
	} {
		m := Modulation{Kind: AM, Rate: 1000, Amount: Ratio(c.depth / 100)}
		peak, rms, mean := factors(t, m)
		assert.InEpsilon(t, c.peak, 1/float64(peak), 5e-6, "%s, peak", m)
		assert.InDelta(t, c.peakLevel, -float64(peak.FieldDecibel()), 5e-4, "%s, peak", m)
		assert.InEpsilon(t, c.rms, 1/float64(rms), 5e-6, "%s, RMS", m)
		assert.InDelta(t, c.rmsLevel, -float64(rms.FieldDecibel()), 5e-4, "%s, RMS", m)
		assert.Equal(t, Ratio(1), mean, "%s, mean", m)
	}
}

// What the detectors read of a pulsed carrier, relative to its level while it
// is on: RMS √duty, mean the duty, peak that level (computed).
func TestPulseModulation(t *testing.T) {
	for _, c := range []struct{ duty, rmsLevel, rms, meanLevel float64 }{
		{50, -3.010, 0.70711, -6.021},
		{100 * 577.0 / 4600, -9.016, 0.35417, -18.032},
		{10, -10.000, 0.31623, -20.000},
		{4, -13.979, 0.20000, -27.959},
		{1, -20.000, 0.10000, -40.000},
	} {
		m := Modulation{Kind: Pulse, Rate: 1000, Amount: Ratio(c.duty / 100)}
		peak, rms, mean := factors(t, m)
		assert.Equal(t, Ratio(1), peak, "%s, peak", m)
		assert.InEpsilon(t, c.rms, 1/float64(rms), 2e-5, "%s, RMS", m)
		assert.InDelta(t, c.rmsLevel, -float64(rms.FieldDecibel()), 5e-4, "%s, RMS", m)
		assert.InDelta(t, c.meanLevel, -float64(mean.FieldDecibel()), 6e-4, "%s, mean", m)
	}
}

func factors(t *testing.T, m Modulation) (peak, rms, mean Ratio) {
	t.Helper()
	list := make([]Ratio, 3)
	for i, detector := range []string{DetectorPeak, DetectorRMS, DetectorMean} {
		factor, err := m.ReadingFactor(detector)
		require.NoError(t, err)
		list[i] = factor
	}
	return list[0], list[1], list[2]
}

func TestReadingFactorOfACarrier(t *testing.T) {
	for _, detector := range []string{DetectorRMS, DetectorPeak, DetectorMean, ""} {
		factor, err := Modulation{}.ReadingFactor(detector)
		require.NoError(t, err, "an unmodulated carrier needs no detector")
		assert.Equal(t, Ratio(1), factor)
	}
}

func TestReadingFactorRefuses(t *testing.T) {
	pulse := Modulation{Kind: Pulse, Rate: 1000, Amount: 0.5}
	for _, c := range []struct {
		m        Modulation
		detector string
		says     string
	}{
		{pulse, "", "known are rms, peak and mean"},
		{pulse, "RMS", `"RMS" is no detector`},
		{Modulation{Kind: Pulse, Rate: 1000}, DetectorMean, "no duty or depth"},
		{Modulation{Kind: AM, Rate: 1000, Amount: 1.2}, DetectorPeak, "no duty or depth"},
	} {
		_, err := c.m.ReadingFactor(c.detector)
		assert.ErrorContains(t, err, c.says)
	}
}

// Common practice of the trade, no source: with 10 W into the antenna at about
// 32 MHz a probe reads about 18 V/m, so 200 V/m take about 1.2 kW.
func TestPowerFor200VoltsPerMetre(t *testing.T) {
	needed := Power(10).Plus(FieldStrength(200).Over(18))
	assert.InDelta(t, 1200, float64(needed), 50)
}

// Common practice of the trade, no source: a third harmonic of 0.475 V/m beside
// 14.8 V/m is 30 dB down, and lifts the reading of a broadband probe by 0.05 %.
func TestThirdHarmonic(t *testing.T) {
	assert.InDelta(t, -30, float64(FieldStrength(0.475).Over(14.8)), 0.2)
	reading := FieldStrength(math.Hypot(14.8, 0.475))
	assert.InDelta(t, 0.0005, float64(reading.Over(14.8).FieldFactor())-1, 5e-5)
}
