package plan_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/plan"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
	"fieldheld/templates/wording"
)

// small is a requirement of 200 V/m from 30 to 33 MHz in steps of 1 %.
const small = `title = "Small"
source = "a test"
dwell = "3 s"
modulation = "pulse 1 kHz 50 %"
[tolerance]
low = "0 dB"
[[limit]]
from = "30 MHz"
to = "33 MHz"
level = "200 V/m"
[[step]]
from = "30 MHz"
to = "33 MHz"
max = "1 %"
`

// input reads a requirement, applied to a sheet that a change has been made to.
func input(t *testing.T, text string, change func(*jobsheet.Sheet)) plan.Input {
	t.Helper()
	sheet, err := jobsheet.ParseFor(jobsheet.Planning, []byte("[article]\nname = \"WK-3\"\n[requirement]\nfile = \"r.toml\"\n"), "job.toml")
	require.NoError(t, err)
	if change != nil {
		change(sheet)
	}
	r, err := requirement.Parse([]byte(text), "r.toml")
	require.NoError(t, err)
	r, err = r.Apply(sheet.Requirement, sheet.Article)
	require.NoError(t, err)
	return plan.Input{Sheet: sheet, Requirement: r}
}

// forecast is a low-level record of the points, in Hz, W and V/m.
func forecast(points ...[3]float64) ingest.Forecast {
	low := &record.LowLevel{File: record.File{Path: "low.csv"}}
	for i, p := range points {
		low.Points = append(low.Points, record.LowLevelPoint{Row: i + 2, Frequency: quantity.Frequency(p[0]),
			Forward: quantity.Power(p[1]), Field: quantity.FieldStrength(p[2])})
	}
	return ingest.Forecast{Sheet: &jobsheet.Forecast{ForwardMax: quantity.Undefined[quantity.Power]()}, Record: low}
}

// TestScanTimes compares numbers of points and times with the scan table of
// MIL-STD-461G, 4.3.10.4.1, and its appendix, table A-I. The published times
// include the settling of the level; the default allowance for levelling comes
// within an eighth of them.
func TestScanTimes(t *testing.T) {
	for _, test := range []struct {
		from, to  quantity.Frequency
		points    int
		dwelling  float64 // minutes at 3 s a point, ceil(ln(f2/f1)/ln(1+s)) + 1 points
		published float64 // minutes
	}{
		{2e6, 30e6, 274, 13.70, 20},
		{30e6, 1e9, 705, 35.25, 54},
		{1e9, 18e9, 1159, 57.95, 94},
		{18e9, 40e9, 321, 16.05, 28},
	} {
		whole, err := requirement.Builtin("mil-std-461g-rs103-ground-army")
		require.NoError(t, err)
		in := input(t, small, nil)
		in.Sheet.Requirement.From, in.Sheet.Requirement.To = test.from, test.to
		in.Sheet.Requirement.Polarizations = []quantity.Polarization{"vertical"}
		in.Sheet.Requirement.Include = []string{"18-40 GHz"}
		in.Requirement, err = whole.Apply(in.Sheet.Requirement, in.Sheet.Article)
		require.NoError(t, err)

		p := plan.Build(in)
		require.Len(t, p.Cells, 1)
		assert.Equal(t, test.points, len(p.Cells[0].Steps))
		assert.Equal(t, test.points, p.Steps)
		assert.Equal(t, p.Cells[0].Time, p.Time)
		if published := p.Time.Minutes() / test.published; test.from < 18e9 {
			assert.InDelta(t, 1, published, 0.125, "%s to %s", test.from, test.to)
		}

		none := time.Duration(0)
		in.Sheet.Plan.Levelling = &none
		assert.InDelta(t, test.dwelling, plan.Build(in).Time.Minutes(), 1e-9)
	}
}

// TestTradeFacts compares the forecast with what the trade knows (common practice,
// no source): 10 W give about 18 V/m at about 32 MHz, so that 200 V/m take about
// 1.2 kW, and laboratories plan for 2.5 kW.
func TestTradeFacts(t *testing.T) {
	in := input(t, small, nil)
	in.Forecasts = []ingest.Forecast{forecast([3]float64{30e6, 10, 18}, [3]float64{33e6, 10, 18})}
	in.Forecasts[0].Sheet.ForwardMax = 2500
	p := plan.Build(in)
	for i := range p.Cells {
		for _, s := range p.Cells[i].Steps {
			assert.InEpsilon(t, 1.2e3, float64(s.Forward), 0.05)
			assert.InEpsilon(t, 10*math.Pow(200.0/18, 2), float64(s.Forward), 1e-9)
			assert.InDelta(t, 3.06, float64(s.Headroom), 0.01)
			assert.Equal(t, plan.Reached, s.Reach)
			assert.Equal(t, "forward_max of the forecast", s.Part)
		}
	}
	assert.Empty(t, p.Concerns)
}

// TestTransfer demands straight lines in decibels over the logarithm of
// frequency between points, and nothing outside them.
func TestTransfer(t *testing.T) {
	low := forecast([3]float64{10e6, 1, 10}, [3]float64{40e6, 4, 80}, [3]float64{90e6, 1, 10}).Record
	for _, test := range []struct {
		f    quantity.Frequency
		want float64
	}{
		{10e6, 10}, {40e6, 40}, {90e6, 10},
		{20e6, 20},                          // the middle of a doubling twice: 20 dB to 32.04 dB
		{10e6 * math.Sqrt2, math.Sqrt(200)}, // a quarter of the way
		{60e6, 20},
		{10e6 * (1 - 1e-10), 10}, {90e6 * (1 + 1e-10), 10}, // the slack of borders
	} {
		got, why := plan.Transfer(low, test.f)
		assert.InEpsilon(t, test.want, got, 1e-9, "%s", test.f)
		assert.Empty(t, why)
	}
	got, why := plan.Transfer(low, 9.99e6)
	assert.True(t, math.IsNaN(got))
	assert.Equal(t, "below the low-level record, which begins at 10 MHz", why)
	got, why = plan.Transfer(low, 90.01e6)
	assert.True(t, math.IsNaN(got))
	assert.Equal(t, "above the low-level record, which ends at 90 MHz", why)
	_, why = plan.Transfer(forecast([3]float64{10e6, 1, 10}).Record, 10e6)
	assert.Empty(t, why)
}

// TestCrest has the crest of 80 % AM take (1 + 0.8)² = 3.24 times the power of the
// carrier, and a pulse no more than the carrier.
func TestCrest(t *testing.T) {
	for text, want := range map[string]float64{"CW": 1, "pulse 1 kHz 50 %": 1, "AM 1 kHz 80 %": 3.24, "AM 1 kHz 100 %": 4} {
		m, err := quantity.ParseModulation(text)
		require.NoError(t, err)
		assert.InEpsilon(t, want, float64(plan.Crest(m)), 1e-12, text)
		in := input(t, strings.Replace(small, "pulse 1 kHz 50 %", text, 1), nil)
		in.Forecasts = []ingest.Forecast{forecast([3]float64{30e6, 100, 200}, [3]float64{33e6, 100, 200})}
		in.Forecasts[0].Sheet.ForwardMax = 200
		s := plan.Build(in).Cells[0].Steps[0]
		assert.InEpsilon(t, 100, float64(s.Forward), 1e-9)
		assert.InEpsilon(t, 100*want, float64(s.Peak), 1e-9)
		assert.Equal(t, want <= 2, s.Reach == plan.Reached, text)
	}
}

// TestPositions compares places with MIL-STD-461G, figure RS103-3: positions N for
// a boundary of width D are D/N apart.
func TestPositions(t *testing.T) {
	for _, test := range []struct {
		width           quantity.Length
		centres         []quantity.Length
		spacing         quantity.Length
		positionsStated int
	}{
		{3, []quantity.Length{1.5}, quantity.Undefined[quantity.Length](), 0},
		{4, []quantity.Length{1, 3}, 2, 0},
		{9, []quantity.Length{1.5, 4.5, 7.5}, 3, 0},
		{2, []quantity.Length{0.25, 0.75, 1.25, 1.75}, 0.5, 4},
	} {
		in := input(t, small+"[positions]\nspacing = \"3 m\"\nup_to = \"200 MHz\"\n", func(s *jobsheet.Sheet) {
			s.Article.Width, s.Requirement.Positions = test.width, test.positionsStated
			s.Requirement.Polarizations = []quantity.Polarization{"horizontal"}
		})
		p := plan.Build(in)
		require.Len(t, p.Cells, len(test.centres))
		for i, c := range p.Cells {
			assert.EqualValues(t, i+1, c.Position)
			assert.Equal(t, len(test.centres), c.Positions)
			assert.InDelta(t, float64(test.centres[i]), float64(c.Centre), 1e-12)
			if quantity.Defined(test.spacing) {
				assert.InDelta(t, float64(test.spacing), float64(c.Spacing), 1e-12)
			} else {
				assert.False(t, quantity.Defined(c.Spacing))
			}
		}
	}
	c := plan.Build(input(t, small, func(s *jobsheet.Sheet) { s.Requirement.Positions = 2 })).Cells[1]
	assert.False(t, quantity.Defined(c.Centre), "the width is not stated")
	assert.False(t, quantity.Defined(c.Spacing))
}

// TestStepsAreWithinTheRule walks random ranges: both ends are steps, no step is
// larger than the rule allows, and all between are whole hertz.
func TestStepsAreWithinTheRule(t *testing.T) {
	r, err := requirement.Builtin("mil-std-461g-rs103-ground-army")
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(1, 2))
	for range 200 {
		from := quantity.Frequency(2e6 * math.Pow(1000, random.Float64()))
		to := from * quantity.Frequency(1+3*random.Float64())
		list := plan.Frequencies(r, requirement.Range{From: from, To: to})
		require.Equal(t, from, list[0])
		require.Equal(t, to, list[len(list)-1])
		for i := 1; i < len(list); i++ {
			require.Greater(t, list[i], list[i-1])
			require.LessOrEqual(t, float64(list[i]/list[i-1]-1), float64(r.Step(list[i-1]))+1e-12)
			if i < len(list)-1 {
				require.Equal(t, math.Trunc(float64(list[i])), float64(list[i]))
			}
		}
	}
	assert.Equal(t, []quantity.Frequency{30e6}, plan.Frequencies(r, requirement.Range{From: 30e6, To: 30e6}))
}

// TestReach walks what can be known of a step.
func TestReach(t *testing.T) {
	in := input(t, small, func(s *jobsheet.Sheet) {
		s.Requirement.Polarizations = []quantity.Polarization{"horizontal"}
		undefined := quantity.Undefined[quantity.Power]()
		s.Runs = []jobsheet.Run{{ID: "H1", Polarization: "horizontal", Position: 1, Amplifier: "PA-1", ForwardMax: 2000},
			{ID: "V1", Polarization: "vertical", Position: 1, Amplifier: "PA-2", ForwardMax: undefined}}
	})
	none := quantity.Undefined[quantity.Frequency]()
	in.Equipment = []ingest.Equipment{
		{Equipment: jobsheet.Equipment{Asset: "PA-1", Role: "amplifier", RatedPower: 1600, From: none, To: none, CalibrationNotRequired: true}},
		{Equipment: jobsheet.Equipment{Asset: "PA-2", Role: "amplifier", RatedPower: 1, From: none, To: none, CalibrationNotRequired: true}},
		{Equipment: jobsheet.Equipment{Asset: "CB-1", Role: "cable", RatedPower: 900, From: none, To: 31e6, CalibrationNotRequired: true}},
	}
	// 1000 W at 30 MHz, 2000 W at 32 MHz, nothing above
	in.Forecasts = []ingest.Forecast{forecast([3]float64{30e6, 1000, 200}, [3]float64{32e6, 2000, 200})}
	p := plan.Build(in)
	c := &p.Cells[0]
	at := func(f quantity.Frequency) plan.Step {
		for _, s := range c.Steps {
			if s.Frequency >= f {
				return s
			}
		}
		t.Fatal("no such step")
		return plan.Step{}
	}
	assert.Equal(t, plan.Short, at(30e6).Reach)
	assert.Equal(t, "CB-1 (cable)", at(30e6).Part)
	assert.InDelta(t, 10*math.Log10(0.9), float64(at(30e6).Headroom), 1e-9)
	assert.Equal(t, plan.Reached, at(31.01e6).Reach, "the cable is not used above 31 MHz")
	assert.Equal(t, "PA-1 (amplifier)", at(31.01e6).Part)
	assert.Equal(t, plan.Short, at(31.8e6).Reach)
	assert.Equal(t, plan.NoForecast, at(33e6).Reach)
	assert.Equal(t, "above the low-level record, which ends at 32 MHz", at(33e6).Why)
	assert.Equal(t, len(c.Steps), c.Count.Reached+c.Count.Short+c.Count.NoForecast+c.Count.NoRating)
	assert.Zero(t, c.Count.NoRating)

	var parts []string
	for _, r := range c.Ratings {
		parts = append(parts, r.Part)
	}
	assert.Equal(t, []string{"forward_max of run H1", "PA-1 (amplifier)", "CB-1 (cable)"}, parts)
	assert.InEpsilon(t, 30.9e6, float64(c.Ratings[2].At), 1e-3, "the last step that the cable carries")
	assert.Equal(t, 4, c.Ratings[2].Beyond)
	require.NotNil(t, c.Greatest)
	assert.InEpsilon(t, 32e6, float64(c.Greatest.Frequency), 0.01)
	require.Len(t, p.Concerns, 2)
	assert.Contains(t, p.Concerns[0], "cannot reach the level: 30 MHz to ")
	assert.Contains(t, p.Concerns[1], "there is no forecast for")

	in.Equipment, in.Sheet.Runs = nil, nil
	p = plan.Build(in)
	assert.Equal(t, plan.NoRating, p.Cells[0].Steps[0].Reach)
	assert.Contains(t, strings.Join(p.Concerns, "\n"), "No rating is stated")

	in.Forecasts = nil
	p = plan.Build(in)
	assert.Equal(t, plan.NoForecast, p.Cells[0].Steps[0].Reach)
	assert.Empty(t, p.Concerns, "nobody asked for a forecast")
}

// TestForecastsOfPolarizations takes for each cell the record that was made for it.
func TestForecastsOfPolarizations(t *testing.T) {
	in := input(t, small, func(s *jobsheet.Sheet) { s.Requirement.Positions = 2 })
	horizontal, vertical := forecast([3]float64{30e6, 1, 10}, [3]float64{33e6, 1, 10}), forecast([3]float64{30e6, 1, 20}, [3]float64{33e6, 1, 20})
	horizontal.Sheet.Polarization = "horizontal"
	vertical.Sheet.Polarization, vertical.Sheet.Position = "vertical", 2
	in.Forecasts = []ingest.Forecast{horizontal, vertical}
	var powers []float64
	for _, c := range plan.Build(in).Cells {
		powers = append(powers, float64(c.Steps[0].Forward))
	}
	require.Len(t, powers, 4)
	assert.InEpsilon(t, 400, powers[0], 1e-9)
	assert.InEpsilon(t, 400, powers[1], 1e-9)
	assert.True(t, math.IsNaN(powers[2]))
	assert.InEpsilon(t, 100, powers[3], 1e-9)
}

// TestAim has the level to hold follow the decision rule, and never lie below the limit.
func TestAim(t *testing.T) {
	budget := &uncertainty.Budget{Standard: 1, CoverageFactor: 2, Expanded: 2}
	for _, test := range []struct {
		name, old, new string
		budget         *uncertainty.Budget
		want           float64
	}{
		{"simple", "", "", nil, 200},
		{"lower tolerance", `low = "0 dB"`, `low = "-1 dB"`, nil, 200},
		{"guarded", "[tolerance]", "decision = { rule = \"guarded\" }\n[tolerance]", budget, 200 * math.Pow(10, 2.0/20)},
		{"guarded, unknown", "[tolerance]", "decision = { rule = \"guarded\" }\n[tolerance]", nil, 200},
	} {
		in := input(t, strings.Replace(small, test.old, test.new, 1), nil)
		in.Budget = test.budget
		p := plan.Build(in)
		assert.InEpsilon(t, test.want, float64(p.Cells[0].Steps[0].Aim), 1e-9, test.name)
		assert.Equal(t, test.name == "guarded, unknown", strings.Contains(strings.Join(p.Concerns, " "), "unknown guard band"), test.name)
	}
}

func TestCalibrations(t *testing.T) {
	day := func(text string) time.Time {
		at, err := time.Parse(time.DateOnly, text)
		require.NoError(t, err)
		return at
	}
	for _, test := range []struct {
		name            string
		date            string
		calibrated, due string
		notRequired     bool
		state           string
		fault           bool
	}{
		{"valid", "2026-11-18", "2026-03-02", "2027-03-02", false, "valid", false},
		{"on the last day", "2026-11-18", "2026-03-02", "2026-11-18", false, "valid", false},
		{"the day after", "2026-11-18", "2026-03-02", "2026-11-17", false, "ends on 2026-11-17, before the test", true},
		{"on the first day", "2026-11-18", "2026-11-18", "2027-11-18", false, "valid", false},
		{"a field probe without an end", "2026-11-18", "2026-11-18", "", false, "no date is stated on which it ends", true},
		{"later", "2026-11-18", "2026-11-19", "2027-11-19", false, "stated for 2026-11-19, after the test", true},
		{"none", "2026-11-18", "", "", false, "needs a calibration, and none is stated", true},
		{"none, not required", "2026-11-18", "", "", true, "not required: why", false},
		{"no date", "", "2026-03-02", "2026-03-03", false, "cannot be told: no test date is stated", false},
	} {
		t.Run(test.name, func(t *testing.T) {
			e := ingest.Equipment{Equipment: jobsheet.Equipment{Asset: "FP-03", Role: "field probe", CalibrationNotRequired: test.notRequired,
				CalibrationReason: "why", RatedPower: quantity.Undefined[quantity.Power]()}}
			in := input(t, small, func(s *jobsheet.Sheet) {
				if test.date != "" {
					s.Plan.Date = day(test.date)
				}
			})
			if test.calibrated != "" {
				e.Calibrated = day(test.calibrated)
			}
			if test.due != "" {
				e.Due = day(test.due)
			}
			in.Equipment = []ingest.Equipment{e}
			p := plan.Build(in)
			assert.Equal(t, test.state, p.Equipment[0].State)
			assert.Equal(t, test.fault, p.Equipment[0].Fault != "")
			assert.Equal(t, test.fault, len(p.Concerns) == 1)
			assert.Equal(t, test.date == "", strings.Contains(strings.Join(p.Notes, " "), "No date of the test"))
		})
	}
}

func TestNotesOfARecord(t *testing.T) {
	in := input(t, small, nil)
	low := forecast([3]float64{30e6, 1, 10}, [3]float64{33e6, 1, 10})
	low.Record.File.RowsUnread = 2
	low.Record.File.Problems = []record.RowProblem{{Row: 4, Kind: record.Duplicate}, {Row: 7, Reason: wording.Say("row.open-quote", nil)}, {Row: 9}}
	in.Forecasts = []ingest.Forecast{low}
	notes := strings.Join(plan.Build(in).Notes, "\n")
	assert.Contains(t, notes, "low.csv: not used, because unreadable: 2 rows; the first is row 7: a quotation mark is opened and never closed.")
	assert.Contains(t, notes, "low.csv: its points are up to 10 % apart (30 MHz to 33 MHz)")
}

// TestJSONHoldsWhatIsKnown demands that unknown figures are absent.
func TestJSONHoldsWhatIsKnown(t *testing.T) {
	in := input(t, small, nil)
	in.Forecasts = []ingest.Forecast{forecast([3]float64{31e6, 1, 10}, [3]float64{33e6, 1, 10})}
	p := plan.Build(in)
	data, err := p.JSON()
	require.NoError(t, err)
	var d struct {
		Steps int     `json:"steps"`
		Time  float64 `json:"time_s"`
		Cells []struct {
			Steps []map[string]any `json:"steps"`
		} `json:"cells"`
		Concerns []string `json:"concerns"`
	}
	require.NoError(t, json.Unmarshal(data, &d))
	assert.Equal(t, p.Steps, d.Steps)
	assert.Equal(t, p.Time.Seconds(), d.Time)
	require.Len(t, d.Cells, 2)
	first, last := d.Cells[0].Steps[0], d.Cells[0].Steps[len(d.Cells[0].Steps)-1]
	assert.NotContains(t, first, "forward_w")
	assert.Equal(t, "no forecast", first["reach"])
	assert.Equal(t, 400.0, last["forward_w"])
	assert.NotContains(t, last, "headroom_db")
	assert.Equal(t, p.Concerns, d.Concerns)
}

func TestLongTime(t *testing.T) {
	for d, want := range map[time.Duration]string{
		0: "0 min", time.Second: "1 min", time.Minute: "1 min", 59*time.Minute + time.Second: "1 h 00 min", 3*time.Hour + 7*time.Minute: "3 h 07 min",
	} {
		assert.Equal(t, want, plan.LongTime(d))
	}
}
