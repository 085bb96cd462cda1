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
	if math.IsInf(x, 0) {
		return "∞"
	}
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return strings.Replace(text, "-", "−", 1)
}

// against writes a number with the decimals, or with as many more as it takes
// that the printed number lies on the same side of the threshold, as it is
// printed, as the number itself. So a figure that misses its limit narrowly
// never reads as if it reached it.
func against(x, threshold float64, decimals int) string {
	if math.IsNaN(x) || math.IsNaN(threshold) {
		return fixedPoint(x, decimals)
	}
	side := compare(x, threshold)
	for d := decimals; d <= mostDecimals; d++ {
		if compare(rounded(x, d), rounded(threshold, d)) == side {
			return fixedPoint(x, d)
		}
	}
	return fixedPoint(x, mostDecimals)
}

// compare is the side of a threshold that a figure is on; reaching it counts as
// being above, as it does in the evaluation.
func compare(x, threshold float64) bool {
	slack := math.Abs(threshold) * 1.2e-10 // 1e-9 dB as a ratio of fields
	return x >= threshold-slack
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

// fieldAgainst writes a field strength beside the level that decides on it.
func fieldAgainst(e, level quantity.FieldStrength) string {
	return against(float64(e), float64(level), decimalsFor(float64(level), 4))
}

// exact writes a given value, such as a limit, with four digits and without
// zeros at its end.
func exact(x float64) string {
	text := fixedPoint(x, decimalsFor(x, 4))
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}

// power writes a power in W with three digits.
func power(p quantity.Power) string {
	return fixedPoint(float64(p), min(decimalsFor(float64(p), 3), 3))
}

// ratio writes a VSWR with two decimals.
func ratio(r quantity.Ratio) string { return fixedPoint(float64(r), 2) }

// decibels writes decibels beside the least margin that is asked for.
func decibels(d, least quantity.Decibel) string {
	return against(float64(d), float64(least), 2)
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

// moment writes a time with its zone.
func moment(t time.Time) string {
	if t.IsZero() {
		return undefined
	}
	return t.Format("2006-01-02 15:04:05\u00a0") + zoneOf(t)
}

// zoneOf writes the distance of a time's zone from UTC.
func zoneOf(t time.Time) string {
	if _, offset := t.Zone(); offset == 0 {
		return "UTC"
	}
	return "UTC" + strings.Replace(t.Format("-07:00"), "-", "−", 1)
}
