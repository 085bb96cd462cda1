package notation

import (
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// plainNumber is a number of digits and one decimal point, which both parsers know.
var plainNumber = regexp.MustCompile(`^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)$`)

// FuzzNumbers compares the fast parser with the standard library's on every text
// that is a plain number; on any other it only must not take one for a number
// that is none.
func FuzzNumbers(f *testing.F) {
	for _, text := range []string{"0", "200.0", "-0.000", "3.790", "123456789012345", "1234567890123456789", "0.30000000000000004",
		"9007199254740993", "00000000000000000001.5", "1e5", "1.2E+02", "1,234.5", "1'234.5", ".", "-", "+.5", "5.", "NaN", "Inf", "0x10", "1_000",
		"179769313486231570814527423731704356798070567525844996598917476803157260780028538760589558632766878171540458953514382464234321326889464182768467546703537516986049910576551282076245490090389328944075868508455133942304583236903222948165808559332123347764797926204144723168738177180919299881250404026184124858369"} {
		f.Add(text)
	}
	n := Numbers{Decimal: '.'}
	f.Fuzz(func(t *testing.T, text string) {
		got, ok := n.Parse([]byte(text))
		if !plainNumber.MatchString(text) {
			return
		}
		want, err := strconv.ParseFloat(text, 64)
		if err != nil {
			require.False(t, ok, "%q is out of range", text)
			return
		}
		require.True(t, ok, "%q is a number", text)
		require.Equal(t, want, got.Value, "%q", text)
	})
}

// plainTime is a time as RFC 3339 writes it; the standard library takes more.
var plainTime = regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,9})?(Z|[+-]\d\d:\d\d)$`)

// FuzzTimes compares the parser of times with the standard library's on every
// RFC 3339 time of a year that a log can have.
func FuzzTimes(f *testing.F) {
	for _, text := range []string{"2026-11-18T09:00:00Z", "2026-11-18T09:00:00.123456789+01:00", "2000-02-29T23:59:59.9-00:30",
		"2026-02-30T00:00:00Z", "2026-11-18 09:00:00", "18.11.2026 09:00", "2026-11-18T24:00:00Z", "2026-11-18T09:00:60Z", "1969-12-31T23:59:59.999999999Z"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, _, ok := ParseStamp([]byte(text), OrderUnknown)
		want, err := time.Parse(time.RFC3339Nano, text)
		if err != nil || !plainTime.MatchString(text) || want.Year() < 1900 || want.Year() > 2200 {
			return
		}
		if _, offset := want.Zone(); offset%60 != 0 || offset > 14*3600 || offset < -12*3600 {
			return // no zone of the world
		}
		require.True(t, ok, "%q is a time", text)
		require.Equal(t, Absolute, got.Form, "%q carries its zone", text)
		require.Equal(t, want.UnixNano(), got.Nanoseconds, "%q", text)
	})
}
