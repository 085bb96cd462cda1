package requirement

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

// The rows of MIL-STD-461G Table XI, with a frequency inside each.
var tableRows = []struct {
	name   string
	inside quantity.Frequency
}{
	{"2 to 30 MHz", 10e6}, {"30 MHz to 1 GHz", 300e6}, {"1 to 18 GHz", 6e9}, {"18 to 40 GHz", 26e9},
}

// MIL-STD-461G Table XI (printed page 145): the limit in V/m for every column
// and service that has one, in the order of tableRows.
var tableXI = []struct {
	column, service string
	levels          [4]quantity.FieldStrength
}{
	{"aircraft-external", "army", [4]quantity.FieldStrength{200, 200, 200, 200}},
	{"aircraft-external", "navy", [4]quantity.FieldStrength{200, 200, 200, 200}},
	{"aircraft-external", "air-force", [4]quantity.FieldStrength{200, 200, 200, 200}},
	{"aircraft-internal", "army", [4]quantity.FieldStrength{200, 200, 200, 200}},
	{"aircraft-internal", "navy", [4]quantity.FieldStrength{200, 200, 200, 60}},
	{"aircraft-internal", "air-force", [4]quantity.FieldStrength{20, 20, 60, 60}},
	{"ships-above-deck", "army", [4]quantity.FieldStrength{200, 200, 200, 200}},
	{"ships-above-deck", "navy", [4]quantity.FieldStrength{200, 200, 200, 200}},
	{"ships-below-deck-metallic", "army", [4]quantity.FieldStrength{10, 10, 10, 10}},
	{"ships-below-deck-metallic", "navy", [4]quantity.FieldStrength{10, 10, 10, 10}},
	{"ships-below-deck-non-metallic", "army", [4]quantity.FieldStrength{50, 10, 10, 10}},
	{"ships-below-deck-non-metallic", "navy", [4]quantity.FieldStrength{50, 10, 10, 10}},
	{"submarine-internal", "army", [4]quantity.FieldStrength{5, 10, 10, 10}},
	{"submarine-internal", "navy", [4]quantity.FieldStrength{5, 10, 10, 10}},
	{"ground", "army", [4]quantity.FieldStrength{50, 50, 50, 50}},
	{"ground", "navy", [4]quantity.FieldStrength{10, 10, 50, 50}},
	{"ground", "air-force", [4]quantity.FieldStrength{10, 10, 50, 50}},
	{"space", "army", [4]quantity.FieldStrength{20, 20, 20, 20}},
	{"space", "navy", [4]quantity.FieldStrength{20, 20, 20, 20}},
	{"space", "air-force", [4]quantity.FieldStrength{20, 20, 20, 20}},
}

func builtinName(column, service string) string {
	return "mil-std-461g-rs103-" + column + "-" + service
}

// nothingSet is a job sheet's [requirement] that names a requirement and sets nothing.
func nothingSet() jobsheet.Requirement {
	nan := quantity.Decibel(math.NaN())
	return jobsheet.Requirement{From: quantity.Frequency(nan), To: quantity.Frequency(nan),
		ToleranceLow: nan, ToleranceHigh: nan, Guard: quantity.Ratio(nan)}
}

// wholeTable applies a built-in requirement with every optional range included.
func wholeTable(t *testing.T, name string) *Requirement {
	t.Helper()
	r, err := Builtin(name)
	require.NoError(t, err)
	sheet := nothingSet()
	for _, l := range r.Limits {
		if l.Optional != "" {
			sheet.Include = append(sheet.Include, l.Optional)
		}
	}
	applied, err := r.Apply(sheet, jobsheet.Article{Width: 1})
	require.NoError(t, err)
	return applied
}

// MIL-STD-461G 5.21.2 and Table XI: every cell of the table.
func TestTableXI(t *testing.T) {
	for _, entry := range tableXI {
		r := wholeTable(t, builtinName(entry.column, entry.service))
		for i, row := range tableRows {
			where := fmt.Sprintf("Table XI, %s, %s, %s", entry.column, entry.service, row.name)
			assert.Equal(t, entry.levels[i], r.Limit(row.inside, quantity.Vertical), where)
			if i > 0 {
				assert.Equal(t, entry.levels[i], r.Limit(row.inside, quantity.Horizontal), where)
			}
		}
	}
	assert.Len(t, Names(), len(tableXI), "every built-in requirement is one column and service of the table")
}

// MIL-STD-461G 5.21.2: up to 30 MHz vertical polarization only, above it both.
func TestPolarizationRule(t *testing.T) {
	for _, entry := range tableXI {
		r := wholeTable(t, builtinName(entry.column, entry.service))
		assert.False(t, quantity.Defined(r.Limit(29.99e6, quantity.Horizontal)), "%s: 5.21.2, horizontal below 30 MHz", r.Name)
		assert.True(t, quantity.Defined(r.Limit(30.01e6, quantity.Horizontal)), "%s: 5.21.2, horizontal above 30 MHz", r.Name)
		assert.Equal(t, []Range{{quantity.Horizontal, 30e6, 40e9}, {quantity.Vertical, 2e6, 40e9}}, r.Ranges(), r.Name)
	}
}

// MIL-STD-461G 5.21.1: 2 to 30 MHz is required for Army and Navy and optional
// for the Air Force; 18 to 40 GHz is optional for all; between them all is required.
func TestOptionalRanges(t *testing.T) {
	for _, entry := range tableXI {
		r, err := Builtin(builtinName(entry.column, entry.service))
		require.NoError(t, err)
		start := quantity.Frequency(2e6)
		if entry.service == "air-force" {
			start = 30e6
		}
		want := []Range{{quantity.Horizontal, 30e6, 18e9}, {quantity.Vertical, start, 18e9}}
		assert.Equal(t, want, r.Ranges(), "%s: 5.21.1", r.Name)
		assert.False(t, quantity.Defined(r.Limit(26e9, quantity.Vertical)), "%s: 5.21.1, 18 to 40 GHz", r.Name)
	}
}

// Table XI does not say which of its rows owns an edge; the higher level counts.
// 14 CFR 25 Appendix L states the same for its own bands.
func TestBandEdges(t *testing.T) {
	for _, c := range []struct {
		column, service string
		edge            quantity.Frequency
		want            quantity.FieldStrength
	}{
		{"ships-below-deck-non-metallic", "army", 30e6, 50}, // 50 below, 10 above
		{"submarine-internal", "navy", 30e6, 10},            // 5 below, 10 above
		{"ground", "navy", 1e9, 50},                         // 10 below, 50 above
		{"aircraft-internal", "air-force", 1e9, 60},         // 20 below, 60 above
		{"aircraft-internal", "navy", 18e9, 200},            // 200 below, 60 above
	} {
		r := wholeTable(t, builtinName(c.column, c.service))
		assert.Equal(t, c.want, r.Limit(c.edge, quantity.Vertical), "%s at %s", r.Name, c.edge)
	}
	r := wholeTable(t, builtinName("ships-below-deck-non-metallic", "army"))
	assert.Equal(t, quantity.FieldStrength(10), r.Limit(30e6, quantity.Horizontal), "the row below has no horizontal limit")
}

// The part that a day shows is cut at an edge of Table XI, but the higher of the
// two levels there still counts.
func TestBandEdgeStaysWhereADayIsCut(t *testing.T) {
	for _, c := range []struct {
		name     string
		from, to quantity.Frequency
		at       quantity.Frequency
		want     quantity.FieldStrength
	}{
		{builtinName("aircraft-internal", "air-force"), 30e6, 1e9, 1e9, 60},
		{builtinName("ships-below-deck-non-metallic", "army"), 30e6, 1e9, 30e6, 50},
		{builtinName("ships-below-deck-non-metallic", "army"), 30e6, 1e9, 30.1e6, 10},
	} {
		r, err := Builtin(c.name)
		require.NoError(t, err)
		sheet := nothingSet()
		sheet.From, sheet.To = c.from, c.to
		applied, err := r.Apply(sheet, jobsheet.Article{Width: 1})
		require.NoError(t, err)
		assert.Equal(t, c.want, applied.Limit(c.at, quantity.Vertical), "%s at %s", c.name, c.at)
		assert.Equal(t, []Range{{quantity.Horizontal, c.from, c.to}, {quantity.Vertical, c.from, c.to}}, applied.Ranges())
		assert.False(t, quantity.Defined(applied.Limit(c.to*1.001, quantity.Vertical)), "nothing is asked outside the part")
	}
}

// MIL-STD-461G Table III (4.3.10.4.1): the largest steps of stepped scans. The
// appendix (A.4.3.10.4.1, page 202) gives 3.75 MHz at 1.5 GHz as an example.
func TestTableIII(t *testing.T) {
	for _, entry := range tableXI {
		r := wholeTable(t, builtinName(entry.column, entry.service))
		for _, c := range []struct {
			f    quantity.Frequency
			want float64
		}{
			{2e6, 0.01}, {29e6, 0.01}, {31e6, 0.005}, {999e6, 0.005}, {1.001e9, 0.0025}, {18e9, 0.0025}, {40e9, 0.0025},
		} {
			assert.InDelta(t, c.want, float64(r.Step(c.f)), 1e-15, "Table III at %s", c.f)
		}
		assert.InDelta(t, 3.75e6, float64(r.Step(1.5e9))*1.5e9, 1e-3, "A.4.3.10.4.1, page 202")
	}
}

// MIL-STD-461G 4.3.10.4.1 (dwell 3 s or the response time, if longer), 4.3.10.4.2
// (pulse, 1 kHz, 50 %), A.5.21 (several sensors are averaged), and no tolerance
// below the limit (A.4.3.10.4.3).
func TestRulesOfTheTest(t *testing.T) {
	pulse := quantity.Modulation{Kind: quantity.Pulse, Rate: 1000, Amount: 0.5}
	for _, entry := range tableXI {
		r, err := Builtin(builtinName(entry.column, entry.service))
		require.NoError(t, err)
		assert.Equal(t, 3*time.Second, r.Dwell, "4.3.10.4.1")
		assert.Equal(t, pulse, r.Modulation, "4.3.10.4.2")
		assert.True(t, r.OfPeak, "5.1.1")
		assert.EqualValues(t, 3, r.MinSamples, "a convention of our own")
		assert.Equal(t, MeanOfSensors, r.Sensors, "A.5.21")
		assert.Zero(t, r.ToleranceLow, "A.4.3.10.4.3")
		assert.False(t, quantity.Defined(r.ToleranceHigh), "the document has no upper tolerance")
		assert.False(t, r.Rule.Guarded, "the document asks for no guard band")
		assert.Contains(t, r.Source, "MIL-STD-461G, 11 December 2015")
		assert.Contains(t, r.Clause, "Table XI")
	}
	r, err := Builtin(builtinName("ground", "army"))
	require.NoError(t, err)
	for response, want := range map[time.Duration]time.Duration{0: 3 * time.Second, 2 * time.Second: 3 * time.Second, 8 * time.Second: 8 * time.Second} {
		applied, err := r.Apply(nothingSet(), jobsheet.Article{Width: 1, ResponseTime: response})
		require.NoError(t, err)
		assert.Equal(t, want, applied.Required(), "4.3.10.4.1, response time %s", response)
	}
}

// MIL-STD-461G 5.21.3.3c(1)(a): up to 200 MHz one antenna position for a test
// setup boundary of up to 3 m, else one for each 3 m or part of it.
func TestAntennaPositions(t *testing.T) {
	r, err := Builtin(builtinName("ground", "army"))
	require.NoError(t, err)
	for _, c := range []struct {
		width quantity.Length
		want  int
	}{
		{2.9, 1}, {3, 1}, {3.01, 2}, {6, 2}, {6.1, 3}, {7.5, 3}, {9, 3},
	} {
		applied, err := r.Apply(nothingSet(), jobsheet.Article{Width: c.width})
		require.NoError(t, err)
		for _, rg := range applied.Ranges() {
			cells := applied.CellsOf(rg)
			if rg.From >= 200e6 {
				assert.Len(t, cells, 1, "5.21.3.3c(1)(b): from 200 MHz the beam decides, not the width")
				continue
			}
			assert.Len(t, cells, c.want, "5.21.3.3c, width %s, %s from %s", c.width, rg.Polarization, rg.From)
			for _, cell := range cells[1:] {
				assert.Equal(t, min(rg.To, 200e6), cell.To, "the width decides up to 200 MHz")
			}
		}
		from, to, unknown := applied.UnknownPositions(quantity.Horizontal)
		assert.True(t, unknown, "above 200 MHz the number has to be stated")
		assert.Equal(t, []quantity.Frequency{200e6, 18e9}, []quantity.Frequency{from, to})
	}
}

// MIL-STD-461G Table III and Table A-I (page 203): the fewest frequencies of a
// stepped scan, N = ceil(ln(f2/f1)/ln(1 + s)) + 1, and the time that they take
// at 3 s. The table's times, settling included, cannot be shorter.
func TestScanCountsAndTimes(t *testing.T) {
	r := wholeTable(t, builtinName("ground", "army"))
	for _, c := range []struct {
		from, to  quantity.Frequency
		points    int
		minutes   float64 // at 3 s each
		published float64 // Table A-I
	}{
		{2e6, 30e6, 274, 13.70, 20},
		{30e6, 1e9, 705, 35.25, 54},
		{1e9, 18e9, 1159, 57.95, 94},
		{18e9, 40e9, 321, 16.05, 28},
	} {
		points := len(r.Fill(c.from, c.to)) + 2
		minutes := (time.Duration(points) * r.Dwell).Minutes()
		assert.Equal(t, c.points, points, "%s to %s", c.from, c.to)
		assert.InDelta(t, c.minutes, minutes, 1e-9, "%s to %s", c.from, c.to)
		assert.Less(t, minutes, c.published, "Table A-I, %s to %s", c.from, c.to)
	}
}

// IEC 61000-4-3 (from memory): steps of at most 1 % of the frequency before; the
// counts are computed from that.
func TestScanCountsAtOnePercent(t *testing.T) {
	r := &Requirement{Steps: []StepRule{{From: 80e6, To: 6e9, Max: 0.01}}}
	for _, c := range []struct {
		from, to quantity.Frequency
		points   int
	}{
		{80e6, 1e9, 255}, {80e6, 2.7e9, 355}, {80e6, 6e9, 435}, {1e9, 6e9, 182}, {1.4e9, 6e9, 148},
	} {
		assert.Equal(t, c.points, len(r.Fill(c.from, c.to))+2, "%s to %s", c.from, c.to)
		assert.Len(t, r.Sequence(c.from, c.to), c.points, "%s to %s", c.from, c.to)
	}
}
