// Package quantity holds the physical quantities of a field test as types of
// their own, in SI units inside (Hz, V/m, W, s), with the units that logs and
// job sheets write. Unit names are case-sensitive: mW is not MW.
//
// A figure that is not defined is NaN, never zero: see Undefined and Defined.
// Every comparison with NaN is false, so that an undefined figure never passes.
package quantity

import "math"

// Frequency is in hertz.
type Frequency float64

// FieldStrength is an electric field in volts per metre, RMS of a sine wave.
type FieldStrength float64

// Power is in watts.
type Power float64

// Decibel is a ratio of levels: 20 times the decimal logarithm of a ratio of
// fields, 10 times that of a ratio of powers.
type Decibel float64

// Ratio is a plain ratio: a correction factor, a duty, a depth, a VSWR.
type Ratio float64

// Length is in metres.
type Length float64

// Temperature is in degrees Celsius.
type Temperature float64

// Pressure is in pascals.
type Pressure float64

// Slack is the relative slack of comparisons of frequencies and borders.
const Slack = 1e-9

// LevelSlack is the slack of comparisons of levels.
const LevelSlack Decibel = 1e-9

// Number is any of this package's quantities.
type Number interface{ ~float64 }

// Undefined returns the mark of a figure that is not defined.
func Undefined[T Number]() T { return T(math.NaN()) }

// Defined reports whether the figure is defined.
func Defined[T Number](x T) bool { return !math.IsNaN(float64(x)) }

// Lower returns the lower of two figures, either of which may be undefined; it is
// undefined only where both are.
func Lower[T Number](a, b T) T {
	if b < a || !Defined(a) {
		return b
	}
	return a
}

// Higher returns the higher of two figures, either of which may be undefined; it is
// undefined only where both are.
func Higher[T Number](a, b T) T {
	if b > a || !Defined(a) {
		return b
	}
	return a
}

// Plus raises a field by a level in decibels.
func (e FieldStrength) Plus(d Decibel) FieldStrength {
	return e * FieldStrength(math.Pow(10, float64(d)/20))
}

// Over returns the level of e over reference, in decibels.
func (e FieldStrength) Over(reference FieldStrength) Decibel {
	return Decibel(20 * math.Log10(float64(e/reference)))
}

// AtLeast reports whether e is not below limit, with the slack of levels.
func (e FieldStrength) AtLeast(limit FieldStrength) bool {
	return e >= limit || e.Over(limit) >= -LevelSlack
}

// Plus raises a power by a level in decibels.
func (p Power) Plus(d Decibel) Power {
	return p * Power(math.Pow(10, float64(d)/10))
}

// Over returns the level of p over reference, in decibels.
func (p Power) Over(reference Power) Decibel {
	return Decibel(10 * math.Log10(float64(p/reference)))
}

// FieldFactor returns the decibels as a factor of field strength.
func (d Decibel) FieldFactor() Ratio { return Ratio(math.Pow(10, float64(d)/20)) }

// FieldDecibel returns a factor of field strength in decibels.
func (r Ratio) FieldDecibel() Decibel { return Decibel(20 * math.Log10(float64(r))) }

// AtOrBelow reports f ≤ border, with the slack of borders.
func (f Frequency) AtOrBelow(border Frequency) bool {
	return float64(f) <= float64(border)+Slack*math.Abs(float64(border))
}

// Within reports from ≤ f ≤ to, with the slack of borders.
func (f Frequency) Within(from, to Frequency) bool {
	return from.AtOrBelow(f) && f.AtOrBelow(to)
}
