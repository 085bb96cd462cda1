package pdf

import (
	"math"
	"strconv"
	"strings"
	"time"

	"fieldheld/ingest/quantity"
)

// undefined is printed for a figure that is not defined.
const undefined = "–"

// mostDecimals ends the search for digits that tell a figure from its limit.
const mostDecimals = 7

// fixedPoint writes a number with the decimals, with a true minus sign; a rounded
// zero has none.
func fixedPoint(x float64, decimals int) string {
	if math.IsNaN(x) {
		return undefined
	}
	switch {
	case math.IsInf(x, 1):
		return "∞"
	case math.IsInf(x, -1):
		return "−∞"
	}
	const longest = 1e9 // beyond it a row of digits is no figure any more
	format := byte('f')
	if math.Abs(x) >= longest {
		format = 'e'
	}
	text := strconv.FormatFloat(x, format, decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return strings.Replace(text, "-", "−", 1)
}

// levelSlack is how far a field may fall short of a level and still count as
// reaching it: 1e-9 dB, as a part of the level.
const levelSlack = 1.151e-10

// decimalsAgainst returns how many decimals, from base on, a figure and the
// threshold that decides on it need so that they read as they compare: a figure
// that misses its limit narrowly never reads as if it reached it. Reaching the
// threshold but for slack counts as being above, as it does in the evaluation.
func decimalsAgainst(x, threshold, slack float64, base int) int {
	if math.IsNaN(x) || math.IsNaN(threshold) {
		return base
	}
	above := x >= threshold-slack
	for d := base; d < mostDecimals; d++ {
		if (rounded(x, d) >= rounded(threshold, d)) == above {
			return d
		}
	}
	return mostDecimals
}

func rounded(x float64, decimals int) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'f', decimals, 64), 64)
	if err != nil {
		return x
	}
	return r
}

// decimalsFor is how many decimals show a number with the significant digits.
func decimalsFor(x float64, significant int) int {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return min(max(0, significant-1-int(math.Floor(math.Log10(math.Abs(x))+1e-12))), mostDecimals)
}

// field writes a field strength in V/m with four digits.
func field(e quantity.FieldStrength) string {
	return fixedPoint(float64(e), decimalsFor(float64(e), 4))
}

// fieldDecimals is how many decimals show a field strength beside a level.
func fieldDecimals(e, level quantity.FieldStrength) int {
	return decimalsAgainst(float64(e), float64(level), levelSlack*float64(level), decimalsFor(float64(level), 4))
}

// given writes a given value with the decimals, but without zeros at its end.
func given(x float64, decimals int) string {
	text := fixedPoint(x, decimals)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// exact writes a given value, such as a limit, with four digits and without
// zeros at its end.
func exact(x float64) string { return given(x, decimalsFor(x, 4)) }

// power writes a power in W with three digits.
func power(p quantity.Power) string {
	return fixedPoint(float64(p), min(decimalsFor(float64(p), 3), 3))
}

// ratio writes a VSWR with two decimals.
func ratio(r quantity.Ratio) string { return fixedPoint(float64(r), 2) }

// decibels writes a margin beside the least margin that is asked for.
func decibels(d, least float64) string {
	return fixedPoint(d, decimalsAgainst(d, least, float64(quantity.LevelSlack), 2))
}

// heldText writes a held time beside the required one. The evaluation forgives a
// millisecond.
func heldText(held float64, required time.Duration) string {
	return fixedPoint(held, decimalsAgainst(held, required.Seconds(), 0.001, 2))
}

// withUnit puts the unit behind a number, joined so that no line breaks there.
func withUnit(number, unit string) string {
	if number == undefined {
		return number
	}
	return number + "\u00a0" + unit
}

// frequency writes a frequency so that no line breaks in it.
func frequency(f quantity.Frequency) string {
	if !quantity.Defined(f) {
		return undefined
	}
	return strings.Replace(f.String(), " ", "\u00a0", 1)
}

// frequencies writes a range of frequencies, or a single one.
func frequencies(from, to quantity.Frequency) string {
	switch {
	case !quantity.Defined(from) && !quantity.Defined(to):
		return undefined
	case from == to:
		return frequency(from)
	case !quantity.Defined(from):
		return "up to " + frequency(to)
	case !quantity.Defined(to):
		return "from " + frequency(from)
	}
	a, b := frequency(from), frequency(to)
	if i := strings.Index(a, "\u00a0"); strings.HasSuffix(b, a[i:]) {
		a = a[:i]
	}
	return a + " – " + b
}

// seconds writes a duration in seconds as it was given, such as "3 s".
func seconds(d time.Duration) string {
	return strconv.FormatFloat(d.Seconds(), 'f', -1, 64) + "\u00a0s"
}

// percent writes a probability or a part in per cent.
func percent(x float64, significant int) string {
	if math.IsNaN(x) {
		return undefined
	}
	return strconv.FormatFloat(100*x, 'g', significant, 64) + "\u00a0%"
}

// date writes a date, or a dash for none.
func date(t time.Time) string {
	if t.IsZero() {
		return undefined
	}
	return t.Format("2006-01-02")
}

// momentIn writes a time, and its zone where that is not the given one.
func momentIn(t time.Time, zone string) string {
	if t.IsZero() {
		return undefined
	}
	text := t.Format("2006-01-02 15:04:05")
	if z := zoneOf(t); z != zone {
		text += " " + z
	}
	return text
}

// moment writes a time with its zone.
func moment(t time.Time) string {
	if t.IsZero() {
		return undefined
	}
	return t.Format("2006-01-02 15:04:05 ") + zoneOf(t)
}

// zoneOf writes the distance of a time's zone from UTC.
func zoneOf(t time.Time) string {
	if _, offset := t.Zone(); offset == 0 {
		return "UTC"
	}
	return "UTC" + strings.Replace(t.Format("-07:00"), "-", "−", 1)
}
