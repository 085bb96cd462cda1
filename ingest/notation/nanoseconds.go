package notation

import (
	"bytes"
	"math"
	"strconv"
	"time"

	"fieldheld/ingest/quantity"
)

// UnixTime reads seconds since 1970, or thousandths and finer parts of
// them, which their size tells apart: a second count of this century has ten
// digits.
func (n Numbers) UnixTime(cell []byte) (quantity.Instant, bool) {
	number, ok := n.Parse(cell)
	if !ok || number.Value < 0 {
		return 0, false
	}
	since, ok := n.Duration(cell, UnixUnit(number.Value))
	return quantity.Instant(since), ok
}

// UnixUnit is the unit of a Unix time by its size, in nanoseconds.
func UnixUnit(value float64) float64 {
	unit := float64(time.Second)
	for limit := 1e11; value >= limit && unit > 1; limit *= 1000 {
		unit /= 1000
	}
	return unit
}

// Duration reads a number of units as nanoseconds, exactly where text writes it.
func (n Numbers) Duration(cell []byte, unit float64) (time.Duration, bool) {
	if ns, ok := exactNanoseconds(cell, n.Decimal, int64(unit)); ok {
		return time.Duration(ns), true
	}
	number, ok := n.Parse(cell)
	if !ok || number.Places < 0 || math.Abs(number.Value*unit) >= math.MaxInt64/2 {
		return 0, false // an exponent that hides digits, as in 1.795E+09, tells no time
	}
	return time.Duration(math.Round(number.Value * unit)), true
}

// withoutExponent writes a number with an exponent that hides no digit as plain
// digits, as far as that needs no more zeros: 1.79499e+2 is 179.499.
func withoutExponent(cell []byte, decimal byte) []byte {
	at := bytes.IndexAny(cell, "eE")
	if at < 0 || !isExponent(string(cell[at+1:])) {
		return cell
	}
	shift, err := strconv.Atoi(string(cell[at+1:]))
	whole, fraction, _ := bytes.Cut(cell[:at], []byte{decimal})
	if err != nil || shift < 0 || shift > len(fraction) {
		return cell
	}
	return bytes.Join([][]byte{whole, fraction[:shift], {decimal}, fraction[shift:]}, nil)
}

// exactNanoseconds reads decimal digits without going through a float64.
func exactNanoseconds(cell []byte, decimal byte, unit int64) (int64, bool) {
	cell = withoutExponent(cell, decimal)
	whole, fraction, _ := bytes.Cut(cell, []byte{decimal})
	negative := len(whole) > 0 && whole[0] == '-'
	if negative {
		whole = whole[1:]
	}
	if len(whole) == 0 || !OnlyDigits(string(whole)) || !OnlyDigits(string(fraction)) {
		return 0, false
	}
	n, err := strconv.ParseInt(string(whole), 10, 64)
	if err != nil || n >= math.MaxInt64/2/unit {
		return 0, false
	}
	ns, part := n*unit, unit
	for _, d := range fraction {
		if part%10 != 0 {
			if d != '0' {
				return 0, false
			}
			continue
		}
		part /= 10
		ns += int64(d-'0') * part
	}
	if negative {
		ns = -ns
	}
	return ns, true
}

// ParseSpan reads a time that has passed, h:mm:ss with any fraction.
func ParseSpan(cell []byte) (time.Duration, bool) {
	parts := bytes.Split(cell, []byte(":"))
	if len(parts) != 3 || len(parts[0]) == 0 || len(parts[0]) > 4 || len(parts[1]) != 2 {
		return 0, false
	}
	h, hn := LeadingNumber(parts[0])
	m, mn := LeadingNumber(parts[1])
	s, ok := exactNanoseconds(bytes.Replace(parts[2], []byte(","), []byte("."), 1), '.', second)
	if hn != len(parts[0]) || mn != 2 || m > 59 || !ok || s < 0 || s >= minute {
		return 0, false
	}
	return time.Duration(int64(h)*hour + int64(m)*minute + s), true
}

func roundTo(ns, unit int64) int64 {
	half := unit / 2
	if ns < 0 {
		half = -half
	}
	return (ns + half) / unit * unit
}
