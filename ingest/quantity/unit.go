package quantity

import (
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"time"
)

// FreeSpaceImpedance is the impedance that turns a power density into a field
// strength: 377 Ω, as the tables of 47 CFR 1.1310 use it.
const FreeSpaceImpedance = 377.0

// unit converts numbers written in it to the SI unit: value × scale, or through
// a logarithm or a square root where the unit asks for it.
type unit struct {
	scale     float64
	logarithm float64 // 0 none; 10 a level of power, 20 a level of field
	density   bool    // a power density, of which the root makes a field
}

func (u unit) convert(x float64) float64 {
	switch {
	case u.logarithm != 0:
		return u.scale * math.Pow(10, x/u.logarithm)
	case u.density:
		return math.Sqrt(x * u.scale * FreeSpaceImpedance)
	default:
		return x * u.scale
	}
}

var frequencyUnits = map[string]unit{
	"Hz": {scale: 1}, "kHz": {scale: 1e3}, "MHz": {scale: 1e6}, "GHz": {scale: 1e9},
}

var fieldUnits = map[string]unit{
	"V/m": {scale: 1}, "mV/m": {scale: 1e-3}, "kV/m": {scale: 1e3}, "µV/m": {scale: 1e-6},
	"dBV/m": {scale: 1, logarithm: 20}, "dBmV/m": {scale: 1e-3, logarithm: 20},
	"dBµV/m": {scale: 1e-6, logarithm: 20},
	"W/m²":   {scale: 1, density: true}, "mW/cm²": {scale: 10, density: true},
	"mW/m²": {scale: 1e-3, density: true}, "µW/cm²": {scale: 1e-2, density: true}, "µW/m²": {scale: 1e-6, density: true},
}

var powerUnits = map[string]unit{
	"W": {scale: 1}, "mW": {scale: 1e-3}, "kW": {scale: 1e3}, "µW": {scale: 1e-6},
	"dBm": {scale: 1e-3, logarithm: 10}, "dBW": {scale: 1, logarithm: 10},
}

var timeUnits = map[string]unit{
	"s": {scale: 1}, "ms": {scale: 1e-3}, "µs": {scale: 1e-6}, "min": {scale: 60}, "h": {scale: 3600},
}

var lengthUnits = map[string]unit{
	"m": {scale: 1}, "cm": {scale: 1e-2}, "mm": {scale: 1e-3}, "km": {scale: 1e3},
}

var pressureUnits = map[string]unit{
	"Pa": {scale: 1}, "hPa": {scale: 100}, "kPa": {scale: 1000}, "mbar": {scale: 100}, "bar": {scale: 1e5},
}

var unitSpelling = strings.NewReplacer(" ", "", "\u00a0", "", "·", "", "^", "", "−", "-", "⁻¹", "-1", "⁻²", "-2", "**", "")

// areas finds the spellings of a power density.
var areas = regexp.MustCompile(`^([mµ]?)W(?:/(c?)m[2²]|(c?)m-2)$`)

// detectorsOfUnits are what some logs add to the unit of a field.
var detectorsOfUnits = []string{"(rms)", "(RMS)", "rms", "RMS"}

// canonicalUnit folds the common spellings of a unit into the one of the tables:
// either micro sign, u for micro, "Vm-1", "V m^-1", "W/m^2", "mW/cm2", "sec".
// Case is kept: mW is not MW.
func canonicalUnit(name string) string {
	name = strings.ReplaceAll(strings.TrimSpace(name), "μ", "µ")
	name = unitSpelling.Replace(name)
	if strings.HasPrefix(name, "dBu") || strings.HasPrefix(name, "uV") || strings.HasPrefix(name, "uW") || name == "us" {
		name = strings.Replace(name, "u", "µ", 1)
	}
	name = strings.Replace(name, "Vm-1", "V/m", 1)
	if inside, level := strings.CutPrefix(name, "dB("); level && strings.HasSuffix(inside, "V/m)") {
		return "dB" + strings.Replace(strings.TrimSuffix(inside, ")"), "u", "µ", 1)
	}
	if strings.HasPrefix(name, "V") || strings.Contains(name, "V/m") {
		for _, detector := range detectorsOfUnits {
			name = strings.Replace(name, detector, "", 1)
		}
	}
	if area := areas.FindStringSubmatch(name); area != nil {
		return area[1] + "W/" + area[2] + area[3] + "m²"
	}
	switch name {
	case "sec", "secs", "seconds", "Sek", "sek":
		return "s"
	case "KHz":
		return "kHz"
	}
	return name
}

// FrequencyUnit returns the conversion from numbers in the named unit to hertz.
func FrequencyUnit(name string) (func(float64) Frequency, bool) {
	u, ok := frequencyUnits[canonicalUnit(name)]
	return func(x float64) Frequency { return Frequency(u.convert(x)) }, ok
}

// FieldUnit returns the conversion from numbers in the named unit to V/m: the
// field units, their levels in decibels, and power densities through 377 Ω.
func FieldUnit(name string) (func(float64) FieldStrength, bool) {
	u, ok := fieldUnits[canonicalUnit(name)]
	return func(x float64) FieldStrength { return FieldStrength(u.convert(x)) }, ok
}

// FieldUnitIsLevel reports whether the named field unit is a level in decibels,
// in which negative numbers are possible and axes cannot be squared as written.
func FieldUnitIsLevel(name string) bool { return fieldUnits[canonicalUnit(name)].logarithm != 0 }

// PowerUnit returns the conversion from numbers in the named unit to watts.
func PowerUnit(name string) (func(float64) Power, bool) {
	u, ok := powerUnits[canonicalUnit(name)]
	return func(x float64) Power { return Power(u.convert(x)) }, ok
}

// PowerUnitIsLevel reports whether the named power unit is a level in decibels.
func PowerUnitIsLevel(name string) bool { return powerUnits[canonicalUnit(name)].logarithm != 0 }

// TimeUnitSeconds returns how many seconds one of the named unit is.
func TimeUnitSeconds(name string) (float64, bool) {
	u, ok := timeUnits[canonicalUnit(name)]
	return u.scale, ok
}

// IsDecibel reports whether the unit is a plain ratio in decibels, as correction
// tables write it: dB, dB(1/m), dB/m.
func IsDecibel(name string) bool {
	switch canonicalUnit(name) {
	case "dB", "dB/m", "dB(1/m)", "dB1/m":
		return true
	}
	return false
}

// KnownUnit reports whether any table has the unit.
func KnownUnit(name string) bool {
	c := canonicalUnit(name)
	for _, table := range []map[string]unit{frequencyUnits, fieldUnits, powerUnits, timeUnits, lengthUnits, pressureUnits} {
		if _, ok := table[c]; ok {
			return true
		}
	}
	return IsDecibel(c) || c == "%" || c == "°C"
}

// split parts "30 MHz" into its number and its unit.
func split(text string) (float64, string, error) {
	text = strings.TrimSpace(text)
	end := 0
	for end < len(text) && strings.IndexByte("+-.,0123456789", text[end]) >= 0 {
		end++
		if end < len(text)-1 && (text[end] == 'e' || text[end] == 'E') &&
			strings.IndexByte("+-0123456789", text[end+1]) >= 0 {
			end += 2
		}
	}
	if comma := strings.IndexByte(text[:end], ','); comma >= 0 && end-comma == 4 && !strings.Contains(text[:end], ".") {
		return 0, "", fmt.Errorf("%q can mean thousands or a decimal comma; write it with a decimal point or without a comma", text)
	}
	x, err := strconv.ParseFloat(strings.Replace(text[:end], ",", ".", 1), 64)
	if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
		return 0, "", fmt.Errorf("%q does not begin with a number", text)
	}
	return x, strings.TrimSpace(text[end:]), nil
}

// parse reads a number with a unit of the table.
func parse(text, what, example string, units map[string]unit) (float64, error) {
	x, name, err := split(text)
	if err != nil {
		return 0, err
	}
	if name == "" {
		return 0, fmt.Errorf("%q has no unit; %s is written like %q", text, what, example)
	}
	u, ok := units[canonicalUnit(name)]
	if !ok {
		return 0, fmt.Errorf("%q is no unit of %s; known are %s", name, what, names(units))
	}
	return u.convert(x), nil
}

func names(units map[string]unit) string {
	list := make([]string, 0, len(units))
	for name := range units {
		list = append(list, name)
	}
	sort.Strings(list)
	return strings.Join(list, ", ")
}

// ParseFrequency reads "30 MHz"; the result is above zero.
func ParseFrequency(text string) (Frequency, error) {
	x, err := parse(text, "a frequency", "30 MHz", frequencyUnits)
	if err == nil && !(x > 0) {
		err = fmt.Errorf("%q is no frequency above zero", text)
	}
	return Frequency(x), err
}

// ParseFieldStrength reads "200 V/m" or any other unit of field; not negative.
func ParseFieldStrength(text string) (FieldStrength, error) {
	x, err := parse(text, "a field strength", "200 V/m", fieldUnits)
	if err == nil && !(x >= 0) {
		err = fmt.Errorf("%q is a negative field strength", text)
	}
	return FieldStrength(x), err
}

// ParsePower reads "2500 W" or "34 dBm"; the result is not negative.
func ParsePower(text string) (Power, error) {
	x, err := parse(text, "a power", "2500 W", powerUnits)
	if err == nil && !(x >= 0) {
		err = fmt.Errorf("%q is a negative power", text)
	}
	return Power(x), err
}

// ParseDecibel reads "6 dB".
func ParseDecibel(text string) (Decibel, error) {
	x, err := parse(text, "a level", "6 dB", map[string]unit{"dB": {scale: 1}})
	return Decibel(x), err
}

// ParsePercent reads "0.5 %" as 0.005.
func ParsePercent(text string) (Ratio, error) {
	x, err := parse(text, "a percentage", "0.5 %", map[string]unit{"%": {scale: 1e-2}})
	return Ratio(x), err
}

// ParseLength reads "30 cm".
func ParseLength(text string) (Length, error) {
	x, err := parse(text, "a length", "30 cm", lengthUnits)
	return Length(x), err
}

// ParseTemperature reads "22.5 °C".
func ParseTemperature(text string) (Temperature, error) {
	x, err := parse(text, "a temperature", "22.5 °C", map[string]unit{"°C": {scale: 1}})
	return Temperature(x), err
}

// ParsePressure reads "1004 hPa".
func ParsePressure(text string) (Pressure, error) {
	x, err := parse(text, "a pressure", "1004 hPa", pressureUnits)
	return Pressure(x), err
}

// ParseDuration reads "3 s", "-2.4 s" or "10 ms", to the nanosecond.
func ParseDuration(text string) (time.Duration, error) {
	x, err := parse(text, "a duration", "3 s", timeUnits)
	if err == nil && math.Abs(x) > 1e9 {
		err = fmt.Errorf("%q is longer than any test", text)
	}
	return time.Duration(math.Round(x * 1e9)), err
}

// String writes the frequency with the prefix that reads best: "41.2 MHz".
func (f Frequency) String() string {
	x, name := float64(f), "Hz"
	switch {
	case x >= 1e9:
		x, name = x/1e9, "GHz"
	case x >= 1e6:
		x, name = x/1e6, "MHz"
	case x >= 1e3:
		x, name = x/1e3, "kHz"
	}
	return strconv.FormatFloat(x, 'g', 10, 64) + " " + name
}

// Rounded is the frequency to the hertz, where it is above one: a difference of
// two frequencies without the digits that are but noise of the numbers.
func (f Frequency) Rounded() Frequency {
	if f < 1 {
		return f
	}
	return Frequency(math.Round(float64(f)))
}

// String writes the field with four significant digits: "207.1 V/m".
func (e FieldStrength) String() string { return significant(float64(e), 4) + " V/m" }

// String writes the power with four significant digits: "1210 W".
func (p Power) String() string { return significant(float64(p), 4) + " W" }

// String writes the level with two decimals: "-0.30 dB".
func (d Decibel) String() string { return strconv.FormatFloat(float64(d), 'f', 2, 64) + " dB" }

// String writes the length in metres or centimetres.
func (l Length) String() string {
	if l < 1 {
		return significant(float64(l)*100, 4) + " cm"
	}
	return significant(float64(l), 4) + " m"
}

// String writes the temperature with one decimal.
func (t Temperature) String() string { return strconv.FormatFloat(float64(t), 'f', 1, 64) + " °C" }

// String writes the pressure in hectopascals.
func (p Pressure) String() string { return strconv.FormatFloat(float64(p)/100, 'f', 0, 64) + " hPa" }

// significant writes x with n significant digits, without an exponent and
// without trailing zeros behind a decimal point.
func significant(x float64, n int) string {
	if math.IsNaN(x) {
		return "–"
	}
	decimals := 0
	if x != 0 {
		decimals = max(0, n-1-int(math.Floor(math.Log10(math.Abs(x)))))
	}
	text := strconv.FormatFloat(x, 'f', min(decimals, 12), 64)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
