package pdf

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/quantity"
)

func TestFixedPoint(t *testing.T) {
	for _, test := range []struct {
		x        float64
		decimals int
		want     string
	}{
		{199.96, 1, "200.0"}, {-0.489, 2, "−0.49"}, {-0.0001, 2, "0.00"}, {0, 0, "0"}, {-1, 0, "−1"},
		{math.NaN(), 2, "–"}, {math.Inf(1), 0, "∞"}, {math.Inf(-1), 2, "−∞"},
	} {
		assert.Equal(t, test.want, fixedPoint(test.x, test.decimals))
	}
}

func TestFigureReadsAsItCompares(t *testing.T) {
	for _, test := range []struct {
		name     string
		e, level quantity.FieldStrength
		want     string
		level2   string
	}{
		{"well above", 207.13, 200, "207.1", "200"},
		{"well below", 187.31, 200, "187.3", "200"},
		{"narrowly below", 199.96, 200, "199.96", "200"},
		{"very narrowly below", 199.99996, 200, "199.99996", "200"},
		{"narrowly above", 200.04, 200, "200.0", "200"},
		{"equal", 200, 200, "200.0", "200"},
		{"below but within the slack", 200 * (1 - 1e-11), 200, "200.0", "200"},
		{"below a level between two decimals", 123.52, 123.54, "123.52", "123.54"},
		{"above a level that rounds up", 123.46, 123.456, "123.5", "123.5"},
		{"small fields", 1.9996, 2, "1.9996", "2"},
		{"undefined", quantity.Undefined[quantity.FieldStrength](), 200, "–", "200"},
	} {
		t.Run(test.name, func(t *testing.T) {
			d := fieldDecimals(test.e, test.level)
			assert.Equal(t, test.want, fixedPoint(float64(test.e), d))
			assert.Equal(t, test.level2, given(float64(test.level), d))
		})
	}
}

func TestDecibels(t *testing.T) {
	for _, test := range []struct {
		d, least float64
		want     string
	}{
		{0.303, 0, "0.30"}, {-0.0017, 0, "−0.002"}, {-5e-10, 0, "0.00"}, {0.004, 0, "0.00"},
		{1.1256, 1.126, "1.1256"}, {1.1264, 1.126, "1.13"},
	} {
		assert.Equal(t, test.want, decibels(test.d, test.least))
	}
}

func TestHeldTime(t *testing.T) {
	assert.Equal(t, "3.00", heldText(2.9995, 3*time.Second), "the evaluation forgives a millisecond")
	assert.Equal(t, "2.998", heldText(2.998, 3*time.Second))
	assert.Equal(t, "5.00", heldText(5, 3*time.Second))
	assert.Equal(t, "–", heldText(math.NaN(), 3*time.Second))
}

func TestFrequencies(t *testing.T) {
	none := quantity.Undefined[quantity.Frequency]()
	for _, test := range []struct {
		from, to quantity.Frequency
		want     string
	}{
		{30e6, 200e6, "30 – 200\u00a0MHz"}, {800e6, 1.2e9, "800\u00a0MHz – 1.2\u00a0GHz"}, {41.2e6, 41.2e6, "41.2\u00a0MHz"},
		{none, 91e6, "up to 91\u00a0MHz"}, {88e6, none, "from 88\u00a0MHz"}, {none, none, "–"},
	} {
		assert.Equal(t, test.want, frequencies(test.from, test.to))
	}
}

func TestPowerKeepsThreeDigits(t *testing.T) {
	for p, want := range map[quantity.Power]string{1210.4: "1210", 130.2: "130", 12.34: "12.3", 1.234: "1.23", 0.0213: "0.021", 0: "0"} {
		assert.Equal(t, want, power(p))
	}
}

func TestZones(t *testing.T) {
	winter := time.Date(2026, 11, 18, 8, 0, 0, 0, time.FixedZone("", 3600))
	assert.Equal(t, "2026-11-18 08:00:00 UTC+01:00", moment(winter))
	assert.Equal(t, "UTC", zoneOf(winter.UTC()))
	assert.Equal(t, "UTC−05:00", zoneOf(winter.In(time.FixedZone("", -5*3600))))
	assert.Equal(t, "–", moment(time.Time{}))
	assert.Equal(t, "2026-11-18 08:00:00", momentIn(winter, "UTC+01:00"))
	assert.Equal(t, "2026-11-18 07:00:00 UTC", momentIn(winter.UTC(), "UTC+01:00"))
}

func TestMegahertzDecimals(t *testing.T) {
	r := fixture(day{steps: 3, runs: 1, clean: true})
	visits := r.Runs[0].Visits
	for i, f := range []quantity.Frequency{30e6, 30.15e6, 30.2001e6} {
		visits[i].Record.Frequency = f
	}
	assert.Equal(t, 4, megahertzDecimals(visits))
	assert.Equal(t, 0, megahertzDecimals(visits[:1]))
}
