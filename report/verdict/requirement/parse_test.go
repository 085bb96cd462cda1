package requirement

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/uncertainty"
)

// complete is a requirement that uses every key.
const complete = `title  = "Radiated susceptibility, winch controllers"
source = "Orrevik test specification OTS-88, clause 6.2"
edition = "third edition"
clause = "6.2"
notes = ["The winch is loaded."]
dwell  = "2.5 s"
settle = "0.5 s"
max_gap = "1 s"
modulation = "AM 400 Hz 50 %"
sensors = "mean"
decision = { rule = "guarded", guard = 0.83 }
[tolerance]
low  = "-1 dB"
high = "6 dB"
[positions]
spacing = "3 m"
up_to = "200 MHz"
[[limit]]
from = "30 MHz"
to   = "200 MHz"
level = "200 V/m"
[[limit]]
from = "200 MHz"
to   = "1 GHz"
level = ["50 V/m", "100 V/m"]
polarizations = ["vertical"]
optional = "200-1000 MHz"
[[step]]
from = "30 MHz"
to   = "1 GHz"
max  = "0.5 %"
`

func TestParse(t *testing.T) {
	r, err := Parse([]byte(complete), "requirement.toml")
	require.NoError(t, err)
	want := &Requirement{
		File:    "requirement.toml",
		Title:   "Radiated susceptibility, winch controllers",
		Source:  "Orrevik test specification OTS-88, clause 6.2",
		Edition: "third edition", Clause: "6.2",
		Notes: []string{"The winch is loaded."},
		Dwell: 2500 * time.Millisecond, Settle: 500 * time.Millisecond, MaxGap: time.Second,
		Modulation:   quantity.Modulation{Kind: quantity.AM, Rate: 400, Amount: 0.5},
		Sensors:      MeanOfSensors,
		MinSamples:   3,
		Rule:         uncertainty.Rule{Guarded: true, Guard: 0.83},
		ToleranceLow: -1, ToleranceHigh: 6, Harmonics: 6,
		PositionRule: &PositionRule{Spacing: 3, UpTo: 200e6},
		Limits: []Limit{
			{From: 30e6, To: 200e6, LowLevel: 200, HighLevel: 200, Polarizations: []quantity.Polarization{quantity.Horizontal, quantity.Vertical}},
			{From: 200e6, To: 1e9, LowLevel: 50, HighLevel: 100, Polarizations: []quantity.Polarization{quantity.Vertical}, Optional: "200-1000 MHz"},
		},
		Steps: []StepRule{{From: 30e6, To: 1e9, Max: 0.005}},
	}
	assert.Equal(t, want, r)
}

// shortest is a requirement with the needed keys only.
const shortest = `title = "T"
source = "S"
dwell = "3 s"
modulation = "CW"
limit = [{ from = "30 MHz", to = "200 MHz", level = "3 V/m" }]
step = [{ from = "30 MHz", to = "200 MHz", max = "5 %" }]
`

func TestParseDefaults(t *testing.T) {
	r, err := Parse([]byte(shortest), "requirement.toml")
	require.NoError(t, err)
	assert.Equal(t, EverySensor, r.Sensors)
	assert.Zero(t, r.ToleranceLow)
	assert.False(t, quantity.Defined(r.ToleranceHigh), "without an upper tolerance there is none")
	assert.Equal(t, uncertainty.Rule{}, r.Rule, "simple acceptance")
	assert.Zero(t, r.Settle)
	assert.Zero(t, r.MaxGap)
	assert.Nil(t, r.PositionRule)
	assert.Equal(t, quantity.Modulation{}, r.Modulation, "an unmodulated carrier")
}

func TestParseGuardAndPositions(t *testing.T) {
	r, err := Parse([]byte("positions = 3\ndecision = { rule = \"guarded\" }\n"+shortest), "requirement.toml")
	require.NoError(t, err)
	assert.Equal(t, uncertainty.Rule{Guarded: true, Guard: 1}, r.Rule, "guarded without a guard is a guard band of U")
	assert.Equal(t, 3, r.Positions)
	assert.Len(t, r.CellsOf(Range{quantity.Vertical, 500e6, 1e9}), 3, "a stated number counts for every range")
}

// Each case changes one thing in the complete requirement. The message has to
// name the line and the key, and say what is wrong and what was expected.
func TestParseProblems(t *testing.T) {
	for _, c := range []struct {
		name, old, new string
		line           int
		key            string
		says           []string
	}{
		{"unknown key", "settle = ", "setle = ", 7, "setle", []string{"not known", `did you mean "settle"`}},
		{"unknown key in a table", "optional = ", "optinal = ", 27, "limit[2].optinal", []string{`did you mean "optional"`}},
		{"number without a unit", `dwell  = "2.5 s"`, "dwell = 2.5", 6, "dwell", []string{"needs its unit", `"3 s"`}},
		{"unit left out", `"2.5 s"`, `"2.5"`, 6, "dwell", []string{"no unit"}},
		{"no dwell at all", `"2.5 s"`, `"0 s"`, 6, "dwell", []string{"not above zero"}},
		{"negative settling", `"0.5 s"`, `"-0.5 s"`, 7, "settle", []string{"negative"}},
		{"gap of zero", `"1 s"`, `"0 s"`, 8, "max_gap", []string{"not above zero"}},
		{"modulation not known", `"AM 400 Hz 50 %"`, `"FM 400 Hz"`, 9, "modulation", []string{"FM", "pulse 1 kHz 50 %"}},
		{"sensors", `"mean"`, `"meen"`, 10, "sensors", []string{"every, mean", `did you mean "mean"`}},
		{"decision rule", `"guarded"`, `"garded"`, 11, "decision.rule", []string{"simple, guarded"}},
		{"guard", "0.83", "-1", 11, "decision.guard", []string{"above zero"}},
		{"lower tolerance above the limit", `"-1 dB"`, `"1 dB"`, 13, "tolerance.low", []string{"above the limit"}},
		{"upper tolerance below the limit", `"6 dB"`, `"-6 dB"`, 14, "tolerance.high", []string{"not lie above the limit"}},
		{"wrong unit", `"6 dB"`, `"6 V/m"`, 14, "tolerance.high", []string{"dB"}},
		{"spacing", `"3 m"`, `"0 m"`, 16, "positions.spacing", []string{"not above zero"}},
		{"level of zero", `"200 V/m"`, `"0 V/m"`, 21, "limit[1].level", []string{"not above zero"}},
		{"level without unit", `"200 V/m"`, `200`, 21, "limit[1].level", []string{"needs its unit", "200 V/m"}},
		{"three levels", `["50 V/m", "100 V/m"]`, `["50 V/m", "70 V/m", "100 V/m"]`, 25, "limit[2].level", []string{"list of 3", "list of 2"}},
		{"band upside down", `to   = "200 MHz"`, `to = "20 MHz"`, 20, "limit[1].to", []string{"from 30 MHz to 20 MHz"}},
		{"band of one frequency", `to   = "200 MHz"`, `to = "30 MHz"`, 20, "limit[1].to", []string{"does not end above"}},
		{"polarization", `["vertical"]`, `["circular"]`, 26, "limit[2].polarizations", []string{"circular", `"horizontal" or "vertical"`}},
		{"polarization twice", `["vertical"]`, `["vertical", "vertical"]`, 26, "limit[2].polarizations", []string{"given twice"}},
		{"no polarization", `["vertical"]`, `[]`, 26, "limit[2].polarizations", []string{"limits nothing"}},
		{"step of nothing", `"0.5 %"`, `"0 %"`, 31, "step[1].max", []string{"no step"}},
		{"step in hertz", `"0.5 %"`, `"5 MHz"`, 31, "step[1].max", []string{"percentage"}},
		{"steps end too early", "to   = \"1 GHz\"\nmax", "to = \"900 MHz\"\nmax", 23, "limit[2].from", []string{"from 900 MHz to 1 GHz", "[[step]]"}},
		{"missing key", "level = \"200 V/m\"\n", "", 18, "limit[1].level", []string{"missing"}},
		{"no title", `title  = "Radiated susceptibility, winch controllers"`, `title = ""`, 1, "title", []string{"empty"}},
		{"broken syntax", `"third edition"`, `"third edition`, 3, "", []string{"not valid TOML"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Contains(t, complete, c.old)
			r, err := Parse([]byte(strings.Replace(complete, c.old, c.new, 1)), "requirement.toml")
			assert.Nil(t, r, "a requirement with a problem must not be used")
			message := only(t, err)
			assert.Equal(t, "requirement.toml", message.Place.File)
			assert.Equal(t, c.line, message.Place.Row)
			if c.key != "" {
				assert.Equal(t, c.key, message.Place.Key)
			}
			for _, words := range c.says {
				assert.Contains(t, message.String(), words)
			}
		})
	}
}

// only returns the one message of an error.
func only(t *testing.T, err error) place.Message {
	t.Helper()
	var problems *place.Error
	require.True(t, errors.As(err, &problems), "an error with places is expected, not %v", err)
	require.Len(t, problems.Messages, 1, "%v", err)
	return problems.Messages[0]
}

func TestParseReportsEverythingAtOnce(t *testing.T) {
	text := strings.NewReplacer(`"2.5 s"`, "2.5", `"-1 dB"`, `"1 dB"`, `"200 V/m"`, `"200 W"`, `"0.5 %"`, `"0.5"`).Replace(complete)
	_, err := Parse([]byte(text+"maximum = 3\n"), "requirement.toml")
	var problems *place.Error
	require.ErrorAs(t, err, &problems)
	var rows []int
	for _, m := range problems.Messages {
		rows = append(rows, m.Place.Row)
	}
	assert.Equal(t, []int{6, 13, 21, 31, 32}, rows, "%v", err)
}

func TestParseRefusesARequirementOfNothing(t *testing.T) {
	for _, c := range []struct{ text, key string }{
		{strings.Replace(shortest, `[{ from = "30 MHz", to = "200 MHz", level = "3 V/m" }]`, "[]", 1), "limit"},
		{strings.Replace(shortest, `[{ from = "30 MHz", to = "200 MHz", max = "5 %" }]`, "[]", 1), "step"},
	} {
		_, err := Parse([]byte(c.text), "requirement.toml")
		assert.Equal(t, c.key, only(t, err).Place.Key)
	}
	_, err := Parse(nil, "requirement.toml")
	var problems *place.Error
	require.ErrorAs(t, err, &problems)
	assert.Len(t, problems.Messages, 6, "title, source, dwell, modulation, limit and step are needed")
}

func TestUncovered(t *testing.T) {
	rules := []StepRule{{From: 10e6, To: 30e6}, {From: 20e6, To: 25e6}, {From: 50e6, To: 60e6}, {From: 60e6 * (1 + 0.5e-9), To: 80e6}}
	for _, c := range []struct {
		from, to quantity.Frequency
		want     [][2]quantity.Frequency
	}{
		{10e6, 30e6, nil},
		{12e6, 22e6, nil},
		{50e6, 80e6, nil}, // rounding parts no rules
		{5e6, 20e6, [][2]quantity.Frequency{{5e6, 10e6}}},
		{10e6, 90e6, [][2]quantity.Frequency{{30e6, 50e6}, {80e6, 90e6}}},
		{31e6, 49e6, [][2]quantity.Frequency{{31e6, 49e6}}},
		{1e6, 2e6, [][2]quantity.Frequency{{1e6, 2e6}}},
		{100e6, 200e6, [][2]quantity.Frequency{{100e6, 200e6}}},
	} {
		assert.Equal(t, c.want, uncovered(c.from, c.to, rules), "%s to %s", c.from, c.to)
	}
}

func TestParseNeverPanics(t *testing.T) {
	for i := range len(complete) {
		for _, text := range []string{complete[:i], complete[i:], complete[:i] + "[" + complete[i:]} {
			r, err := Parse([]byte(text), "requirement.toml")
			assert.True(t, (r == nil) == (err != nil))
			if r != nil {
				assert.False(t, math.IsNaN(float64(r.Step(30e6))))
			}
		}
	}
}
