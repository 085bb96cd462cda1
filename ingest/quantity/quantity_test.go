package quantity

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// as makes a parser of one quantity into one of plain numbers.
func as[T Number](parse func(string) (T, error)) func(string) (float64, error) {
	return func(text string) (float64, error) {
		x, err := parse(text)
		return float64(x), err
	}
}

func seconds(text string) (float64, error) {
	d, err := ParseDuration(text)
	return d.Seconds(), err
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		parse func(string) (float64, error)
		text  string
		want  float64
	}{
		{as(ParseFrequency), "30 MHz", 30e6},
		{as(ParseFrequency), "41.2MHz", 41.2e6},
		{as(ParseFrequency), " 1,5 GHz ", 1.5e9},
		{as(ParseFrequency), "1e3 kHz", 1e6},
		{as(ParseFieldStrength), "200 V/m", 200},
		{as(ParseFieldStrength), "200 V m^-1", 200},
		{as(ParseFieldStrength), "0.2 kV/m", 200},
		{as(ParseFieldStrength), "166.0206 dBuV/m", 200},
		{as(ParseFieldStrength), "166.0206 dBμV/m", 200}, // the Greek letter, not the micro sign
		{as(ParsePower), "34 dBm", 2.511886},
		{as(ParsePower), "2500 W", 2500},
		{as(ParsePower), "5 mW", 5e-3},
		{as(ParseDecibel), "-1.5 dB", -1.5},
		{as(ParsePercent), "0.5 %", 0.005},
		{as(ParseLength), "30 cm", 0.3},
		{as(ParseTemperature), "22.5 °C", 22.5},
		{as(ParsePressure), "1004 hPa", 100400},
		{seconds, "3 s", 3},
		{seconds, "-2.4 s", -2.4},
		{seconds, "10 ms", 0.01},
		{seconds, "1 min", 60},
	} {
		got, err := c.parse(c.text)
		require.NoError(t, err, c.text)
		assert.InEpsilon(t, c.want, got, 1e-6, c.text)
	}
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		parse func(string) (float64, error)
		text  string
		says  string
	}{
		{as(ParseFrequency), "30", "no unit"},
		{as(ParseFrequency), "30 mhz", "no unit of a frequency"},
		{as(ParseFrequency), "0 MHz", "above zero"},
		{as(ParseFrequency), "thirty MHz", "does not begin with a number"},
		{as(ParseFrequency), "", "does not begin with a number"},
		{as(ParseFrequency), "1.234.5 MHz", "does not begin with a number"},
		{as(ParseFrequency), "1e999 MHz", "does not begin with a number"},
		{as(ParseFieldStrength), "200 W", "no unit of a field strength"},
		{as(ParseFieldStrength), "-3 V/m", "negative"},
		{as(ParsePower), "5 MW", "no unit of a power"}, // mW is not MW
		{as(ParsePower), "-5 W", "negative"},
		{as(ParseDecibel), "6 dBm", "no unit of a level"},
		{as(ParsePercent), "0.5", "no unit"},
		{seconds, "3 sekunden", "no unit of a duration"},
		{seconds, "1e10 s", "longer than any test"},
	} {
		_, err := c.parse(c.text)
		assert.ErrorContains(t, err, c.says, c.text)
	}
}

func TestParseModulation(t *testing.T) {
	pulse := Modulation{Kind: Pulse, Rate: 1000, Amount: 0.5}
	for text, want := range map[string]Modulation{
		"CW": {}, "cw": {}, "pulse 1 kHz 50 %": pulse, "Pulse 1kHz 50%": pulse, "PULSE 1000 Hz 50,0 %": pulse,
		"AM 400 Hz 80 %": {Kind: AM, Rate: 400, Amount: 0.8},
	} {
		got, err := ParseModulation(text)
		require.NoError(t, err, text)
		assert.Equal(t, want.String(), got.String(), text)
		again, err := ParseModulation(got.String())
		require.NoError(t, err)
		assert.Equal(t, got, again, "%s is written as it is read", got)
	}
	for _, text := range []string{"", "FM 1 kHz 50 %", "pulse", "pulse 1 kHz", "pulse 1 kHz 0 %", "AM 1 kHz 101 %", "AM 50 % 1 kHz", "CW 1 kHz"} {
		_, err := ParseModulation(text)
		assert.Error(t, err, text)
	}
}

// The rate may lie 2 % off, duty and depth five percentage points.
func TestModulationSatisfies(t *testing.T) {
	pulse := Modulation{Kind: Pulse, Rate: 1000, Amount: 0.5}
	for _, test := range []struct {
		is   Modulation
		want bool
	}{
		{pulse, true}, {Modulation{Pulse, 1020, 0.55}, true}, {Modulation{Pulse, 980, 0.45}, true},
		{Modulation{Pulse, 1020.1, 0.5}, false}, {Modulation{Pulse, 979.9, 0.5}, false},
		{Modulation{Pulse, 1000, 0.5501}, false}, {Modulation{Pulse, 1000, 0.4499}, false},
		{Modulation{AM, 1000, 0.5}, false}, {Modulation{}, false},
	} {
		assert.Equal(t, test.want, test.is.Satisfies(pulse), "%s", test.is)
	}
	assert.True(t, Modulation{}.Satisfies(Modulation{}))
}

// A limit that speaks of the peak is met by a carrier that lies lower by 1 + m:
// 11 V/m on a peak detector at AM 80 % are 11/1.8 V/m of carrier and 11 V/m of peak.
func TestLevelFactor(t *testing.T) {
	am := Modulation{AM, 1000, 0.8}
	for detector, want := range map[string]float64{DetectorPeak: 1, DetectorMean: 1.8, DetectorRMS: 1.8 / math.Sqrt(1.32)} {
		factor, err := am.LevelFactor(detector, true)
		require.NoError(t, err)
		assert.InDelta(t, want, float64(factor), 1e-12, detector)
		carrier, err := am.LevelFactor(detector, false)
		require.NoError(t, err)
		assert.InDelta(t, want/1.8, float64(carrier), 1e-12, detector)
	}
	pulse, err := Modulation{Pulse, 1000, 0.25}.LevelFactor(DetectorRMS, true)
	require.NoError(t, err)
	assert.InDelta(t, 2, float64(pulse), 1e-12, "a pulse has its peak while it is on")
}

func TestString(t *testing.T) {
	for want, got := range map[string]string{
		"41.2 MHz":  Frequency(41.2e6).String(),
		"1.5 GHz":   Frequency(1.5e9).String(),
		"999 Hz":    Frequency(999).String(),
		"207.1 V/m": FieldStrength(207.1234).String(),
		"– V/m":     Undefined[FieldStrength]().String(),
		"1210 W":    Power(1210.4).String(),
		"0.005 W":   Power(0.005).String(),
		"-0.30 dB":  Decibel(-0.3).String(),
		"30 cm":     Length(0.3).String(),
		"1.2 m":     Length(1.2).String(),
		"22.5 °C":   Temperature(22.5).String(),
		"1004 hPa":  Pressure(100400).String(),
	} {
		assert.Equal(t, want, got)
	}
}

// About half of all levels fall below themselves on the way through decibels
// and back. The slack of levels takes them for what they were, and no less.
func TestLevelsSurviveDecibels(t *testing.T) {
	below := 0
	for i := 1; i <= 1000; i++ {
		limit := FieldStrength(i) / 10
		back := FieldStrength(1).Plus(limit.Over(1))
		if back < limit {
			below++
		}
		assert.True(t, back.AtLeast(limit), "%v", limit)
		assert.False(t, back.Plus(-2e-9).AtLeast(limit), "%v, lowered by more than the slack", limit)
	}
	assert.Positive(t, below, "without the slack some would have failed")
}

func TestUndefinedNeverPasses(t *testing.T) {
	undefined := Undefined[FieldStrength]()
	assert.False(t, undefined.AtLeast(1))
	assert.False(t, FieldStrength(1).AtLeast(undefined))
	assert.False(t, Undefined[Frequency]().Within(0, math.MaxFloat64))
	assert.False(t, Defined(undefined.Plus(3)))
}

func TestBorders(t *testing.T) {
	for _, c := range []struct {
		f    Frequency
		want bool
	}{
		{30e6, true}, {200e6, true}, {30e6 * (1 - 0.9e-9), true}, {200e6 * (1 + 0.9e-9), true},
		{30e6 * (1 - 1.1e-9), false}, {200e6 * (1 + 1.1e-9), false}, {100e6, true},
	} {
		assert.Equal(t, c.want, c.f.Within(30e6, 200e6), "%.10g", float64(c.f))
	}
}

func TestUnitNamesAreCaseSensitive(t *testing.T) {
	for _, name := range []string{"mW", "kW", "W", "dBm", "MHz", "V/m", "dBµV/m", "mW/cm2", "ms", "°C", "%", "dB"} {
		assert.True(t, KnownUnit(name), name)
	}
	for _, name := range []string{"MW", "mhz", "V", "v/m", "DBM", "S", ""} {
		assert.False(t, KnownUnit(name), name)
	}
}

func TestInstant(t *testing.T) {
	at := time.Date(2026, 11, 18, 9, 0, 0, 123456789, time.FixedZone("", 3600))
	i := InstantOf(at)
	assert.True(t, i.UTC().Equal(at), "to the nanosecond")
	assert.Equal(t, 1500*time.Millisecond, i.Add(1500*time.Millisecond).Sub(i))
	assert.Equal(t, "2026-11-18T09:00:00.123456789+01:00", i.In(at.Location()).Format(time.RFC3339Nano))
}

func TestLowerAndHigherPassOverWhatIsUndefined(t *testing.T) {
	none := Undefined[Decibel]()
	for _, test := range []struct{ a, b, lower, higher Decibel }{{1, 2, 1, 2}, {2, 1, 1, 2}, {none, 2, 2, 2}, {2, none, 2, 2}, {-1, none, -1, -1}} {
		assert.Equal(t, test.lower, Lower(test.a, test.b))
		assert.Equal(t, test.higher, Higher(test.a, test.b))
	}
	assert.False(t, Defined(Lower(none, none)))
	assert.False(t, Defined(Higher(none, none)))
}
