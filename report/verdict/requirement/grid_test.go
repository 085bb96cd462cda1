package requirement

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

type frequencies = []quantity.Frequency

// spots is a requirement swept from 30 to 80 MHz, with listed frequencies above and one
// within.
func spots() *Requirement {
	return &Requirement{
		Limits: []Limit{
			{From: 30e6, To: 200e6, LowLevel: 10, HighLevel: 10, Polarizations: both},
			{From: 48e6, To: 868e6, LowLevel: 30, HighLevel: 30, Polarizations: both, Frequencies: frequencies{48e6, 433.92e6, 868e6}},
		},
		Steps: []StepRule{{From: 30e6, To: 80e6, Max: 0.01}, {From: 80e6, To: 200e6, Frequencies: frequencies{88e6, 108e6}}},
	}
}

func TestParseSteps(t *testing.T) {
	with := func(step string) string {
		return strings.Replace(shortest, `{ from = "30 MHz", to = "200 MHz", max = "5 %" }`, step, 1)
	}
	for _, c := range []struct {
		name, text string
		want       []StepRule
	}{
		{"a size", with(`{ from = "30 MHz", to = "200 MHz", size = "1 MHz" }`), []StepRule{{From: 30e6, To: 200e6, Size: 1e6}}},
		{"a list with its range, unsorted", with(`{ from = "30 MHz", to = "200 MHz", frequencies = ["108 MHz", "88 MHz"] }`),
			[]StepRule{{From: 30e6, To: 200e6, Frequencies: frequencies{88e6, 108e6}}}},
		{"a list without a range, beside a step", with(`{ from = "30 MHz", to = "200 MHz", max = "5 %" }, { frequencies = ["108 MHz", "88 MHz"] }`),
			[]StepRule{{From: 30e6, To: 200e6, Max: 0.05}, {From: 88e6, To: 108e6, Frequencies: frequencies{88e6, 108e6}}}},
		{"no step where limits list", strings.Replace(strings.Replace(shortest, `from = "30 MHz", to = "200 MHz", level`, `frequencies = ["88 MHz"], level`, 1),
			"step = [{ from = \"30 MHz\", to = \"200 MHz\", max = \"5 %\" }]\n", "", 1), nil},
	} {
		r, err := Parse([]byte(c.text), "requirement.toml")
		require.NoError(t, err, c.name)
		assert.Equal(t, c.want, r.Steps, c.name)
	}
	for _, c := range []struct{ name, text, key, says string }{
		{"two ways", with(`{ from = "30 MHz", to = "200 MHz", max = "5 %", size = "1 MHz" }`), "step[1].max", "max and size"},
		{"no way", with(`{ from = "30 MHz", to = "200 MHz" }`), "step[1].max", "none of the three"},
		{"a size without a range", with(`{ size = "1 MHz" }`), "step[1].from", "needed"},
		{"half a range", with(`{ from = "30 MHz", frequencies = ["88 MHz"] }`), "step[1].to", "needed"},
		{"a size without its unit", with(`{ from = "30 MHz", to = "200 MHz", size = 1 }`), "step[1].size", "unit"},
		{"a size as a part", with(`{ from = "30 MHz", to = "200 MHz", size = "1 %" }`), "step[1].size", "1 MHz"},
		{"a size of hertz", with(`{ from = "30 MHz", to = "200 MHz", size = "1 Hz" }`), "step[1].size", "no step of this range"},
		{"a size above the range", with(`{ from = "30 MHz", to = "200 MHz", size = "1 GHz" }`), "step[1].size", "no step of this range"},
		{"an empty list", with(`{ from = "30 MHz", to = "200 MHz", frequencies = [] }`), "step[1].frequencies", "one or more"},
		{"no list", with(`{ from = "30 MHz", to = "200 MHz", frequencies = "88 MHz" }`), "step[1].frequencies", "one or more"},
		{"a listed number", with(`{ from = "30 MHz", to = "200 MHz", frequencies = [88] }`), "step[1].frequencies", "unit"},
		{"outside its range", with(`{ from = "30 MHz", to = "200 MHz", frequencies = ["88 MHz", "208 MHz"] }`), "step[1].frequencies", "208 MHz"},
		{"twice", with(`{ from = "30 MHz", to = "200 MHz", frequencies = ["88 MHz", "88000 kHz"] }`), "step[1].frequencies", "listed twice"},
		{"a list leaves a part of a limit", with(`{ frequencies = ["88 MHz", "108 MHz"] }`), "limit[1].from", "108 MHz to 200 MHz"},
		{"a limit with a list and a range", strings.Replace(shortest, `level`, `frequencies = ["88 MHz"], level`, 1), "limit[1].frequencies", "has no range"},
		{"no step for a limit with a range", strings.Replace(shortest, "step = [{ from = \"30 MHz\", to = \"200 MHz\", max = \"5 %\" }]\n", "", 1), "step", "needed"},
	} {
		_, err := Parse([]byte(c.text), "requirement.toml")
		require.Error(t, err, c.name)
		assert.Contains(t, err.Error(), c.key, c.name)
		assert.Contains(t, err.Error(), c.says, c.name)
	}
}

func TestSweptAndListed(t *testing.T) {
	r := spots()
	whole := r.Ranges()[0]
	assert.Equal(t, Range{quantity.Horizontal, 30e6, 868e6}, whole)
	assert.Equal(t, []Part{{30e6, 80e6}}, r.Swept(whole))
	assert.Equal(t, frequencies{48e6, 88e6, 108e6, 433.92e6, 868e6}, r.Listed(whole))
	assert.Equal(t, frequencies{88e6, 108e6}, r.Listed(Range{quantity.Horizontal, 80e6, 200e6}))
	assert.Equal(t, []Part{{2e6, 30e6}}, winch().Swept(Range{quantity.Vertical, 2e6, 30e6}), "without a list the range itself, whatever is required of it")

	for _, c := range []struct {
		name  string
		f, q  quantity.Frequency
		level float64
	}{
		{"the limit of the range", 50e6, 0, 10}, {"a higher one at a listed frequency", 48e6, 0, 30},
		{"beside it", 48.01e6, 0.01e6, 10}, {"written for it", 48.005e6, 0.01e6, 30}, {"a listed frequency by itself", 433.9e6, 0.1e6, 30},
	} {
		assert.InDelta(t, c.level, float64(r.LimitNear(c.f, c.q, quantity.Horizontal)), 1e-9, c.name)
	}
	assert.False(t, quantity.Defined(r.Limit(500e6, quantity.Horizontal)), "nothing is asked for between listed frequencies")

	assert.InDelta(t, 0.5e6, float64(r.StepWidth(50e6)), 1e-6)
	assert.Zero(t, r.StepWidth(100e6), "between listed frequencies no step is allowed")
	part, err := r.Apply(jobsheet.Requirement{From: 100e6, To: 500e6, ToleranceLow: quantity.Undefined[quantity.Decibel](),
		ToleranceHigh: quantity.Undefined[quantity.Decibel](), Guard: quantity.Undefined[quantity.Ratio]()}, jobsheet.Article{})
	require.NoError(t, err)
	assert.Equal(t, frequencies{108e6}, part.Listed(part.Ranges()[0]))
	assert.Equal(t, Range{quantity.Horizontal, 433.92e6, 433.92e6}, part.Ranges()[1], "one of the three is left")
	assert.Equal(t, frequencies{433.92e6}, part.Listed(part.Ranges()[1]))
	assert.Len(t, part.Notes, 2, "one for each polarization")
}

// A list of one frequency has every position that its range would have.
func TestPositionsAtOneFrequency(t *testing.T) {
	one := Range{quantity.Vertical, 100e6, 100e6}
	r := &Requirement{Positions: 2, PositionRule: &PositionRule{UpTo: 200e6, Spacing: 3},
		Limits: []Limit{{From: 100e6, To: 100e6, LowLevel: 1, HighLevel: 1, Polarizations: both, Frequencies: frequencies{100e6}}}}
	assert.Len(t, r.CellsOf(one), 2)
	r.PositionRule.UpTo = 50e6
	assert.Len(t, r.CellsOf(one), 1)
	r.Positions = 0
	_, _, unknown := r.UnknownPositions(quantity.Vertical)
	assert.True(t, unknown)
	assert.False(t, r.CellsOf(one)[0].Known)
}

// A step in hertz, and in what a generator takes.
func TestContinue(t *testing.T) {
	megahertz := &Requirement{Steps: []StepRule{{From: 10e6, To: 1e9, Size: 1e6}}}
	finer := &Requirement{Steps: []StepRule{{From: 10e6, To: 100e6, Max: 0.02}, {From: 100e6, To: 1e9, Size: 0.5e6}}}
	for _, c := range []struct {
		name string
		r    *Requirement
		a, b quantity.Frequency
		grid Grid
		want frequencies
	}{
		{"the grid goes on", megahertz, 31.6e6, 34e6, Grid{31.6e6, 0.8e6, 1e3}, frequencies{32.4e6, 33.2e6}},
		{"from behind", megahertz, 30e6, 32e6, Grid{32e6, 0.9e6, 1e3}, frequencies{30.2e6, 31.1e6}},
		{"a grid too wide", megahertz, 30e6, 33e6, Grid{30e6, 1.5e6, 1e3}, frequencies{31e6, 32e6}},
		{"no grid", megahertz, 30.0004e6, 32e6, Grid{Unit: 1e3}, frequencies{31e6}},
		{"a unit as wide as the step", megahertz, 30.4e6, 32e6, Grid{Unit: 1e6}, frequencies{31e6}},
		{"nothing missing", megahertz, 30e6, 31e6, Grid{Unit: 1e3}, nil},
		{"across a border into the finer", finer, 99e6, 101e6, Grid{Unit: 1e3}, frequencies{100.98e6}},
		{"relative steps as ever", finer, 50e6, 51.5e6, Grid{Anchor: 50e6, Distance: 0.1e6}, finer.Fill(50e6, 51.5e6)},
	} {
		got := c.r.Continue(c.a, c.b, c.grid)
		assert.Len(t, got, len(c.want), c.name)
		assert.InDeltaSlice(t, asFloats(c.want), asFloats(got), 1e-3, "%s: %v", c.name, got)
		assert.True(t, c.r.keeps(c.a, got, c.b), c.name)
	}
}

// Whatever the rules, the resolution and the hole: no step is larger than allowed, the
// settings have few digits, and they are as many as the rules say.
func TestSettingsKeepEveryStep(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		r := &Requirement{Steps: []StepRule{{From: 10e6, To: 100e6, Max: quantity.Ratio(0.002 + 0.05*random.Float64())},
			{From: 100e6, To: 1e9, Max: quantity.Ratio(0.002 + 0.05*random.Float64())}}}
		if random.IntN(2) == 0 {
			r.Steps[random.IntN(2)] = StepRule{From: 10e6, To: 1e9, Size: quantity.Frequency(1+random.IntN(20)) * 0.1e6}
		}
		unit := quantity.Frequency([]float64{0, 1, 1e3, 1e4, 1e5}[random.IntN(5)])
		a := rounded(20e6+quantity.Frequency(random.Float64())*100e6, max(unit, 1))
		b := rounded(a*quantity.Frequency(1+0.3*random.Float64()), max(unit, 1))
		grid := Grid{Anchor: a, Distance: rounded(quantity.Frequency(random.Float64())*0.5e6, max(unit, 1)), Unit: unit}
		list := r.Continue(a, b, grid)
		settings := r.Settings(a, list, b, grid)
		require.Len(t, settings, len(list))
		require.True(t, r.keeps(a, settings, b), "%v: %v to %v in %v: %v", r.Steps, a, b, unit, settings)
		for i, f := range settings {
			require.InDelta(t, float64(list[i]), float64(f), float64(max(unit, 1))*float64(i+1))
		}
	}
	r := &Requirement{Steps: []StepRule{{From: 30e6, To: 1e9, Max: 0.01}}}
	assert.Equal(t, frequencies{30.3e6, 30.6e6}, r.Settings(30e6, frequencies{30.3e6, 30.6e6}, 30.9e6, Grid{Unit: 1e3}))
	r.Steps[0].Max = 0.00999
	assert.Equal(t, frequencies{30.299e6}, r.Settings(30e6, frequencies{30.2996e6}, 30.5e6, Grid{Unit: 1e3}), "up, the step would be too large")
}

// Stepped scans of 1 MHz and of lists, counted: ceil((f2 − f1) / step) + 1 points. In
// MIL-STD-461G (A.4.3.10.4.1, page 202) 0.25 % at 1.5 GHz is 3.75 MHz: steps of that
// size ask for less below it, and for no less above.
func TestSizesBesideTableIII(t *testing.T) {
	r := &Requirement{Steps: []StepRule{{From: 10e6, To: 200e6, Size: 2e6}, {From: 200e6, To: 1e9, Size: 20e6}, {From: 1e9, To: 18e9, Size: 200e6}}}
	assert.Len(t, r.Sequence(10e6, 200e6), 96)
	assert.Len(t, r.Sequence(200e6, 1e9), 41)
	assert.Len(t, r.Sequence(1e9, 18e9), 86)
	table := wholeTable(t, builtinName("ground", "navy"))
	size := []StepRule{{From: 1e9, To: 18e9, Size: 3.75e6}}
	assert.True(t, asksForLess(table.Steps, size, Range{quantity.Vertical, 1e9, 18e9}))
	assert.True(t, asksForLess(table.Steps, size, Range{quantity.Vertical, 1.49e9, 18e9}))
	assert.False(t, asksForLess(table.Steps, size, Range{quantity.Vertical, 1.5e9, 18e9}))
	assert.InDelta(t, 3.75e6, float64(table.StepWidth(1.5e9)), 1e-3)
}

func TestStepsOfTheJobSheet(t *testing.T) {
	size := func(from, to, size quantity.Frequency) StepRule { return StepRule{From: from, To: to, Size: size} }
	list := func(f ...quantity.Frequency) StepRule { return StepRule{From: f[0], To: f[len(f)-1], Frequencies: f} }
	for _, c := range []struct {
		name    string
		has     []StepRule
		set     StepRule
		want    []StepRule
		relaxed bool
	}{
		{"smaller everywhere", []StepRule{{From: 2e6, To: 1e9, Max: 0.01}}, size(30e6, 200e6, 0.3e6),
			[]StepRule{{From: 2e6, To: 30e6, Max: 0.01}, size(30e6, 200e6, 0.3e6), {From: 200e6, To: 1e9, Max: 0.01}}, false},
		{"larger at its lower end alone", []StepRule{{From: 2e6, To: 1e9, Max: 0.01}}, size(30e6, 200e6, 0.31e6),
			[]StepRule{{From: 2e6, To: 30e6, Max: 0.01}, size(30e6, 200e6, 0.31e6), {From: 200e6, To: 1e9, Max: 0.01}}, true},
		{"larger at its upper end alone", []StepRule{size(2e6, 1e9, 1e6)}, StepRule{From: 30e6, To: 200e6, Max: 0.0051},
			[]StepRule{size(2e6, 30e6, 1e6), {From: 30e6, To: 200e6, Max: 0.0051}, size(200e6, 1e9, 1e6)}, true},
		{"as large at its upper end", []StepRule{size(2e6, 1e9, 1e6)}, StepRule{From: 30e6, To: 200e6, Max: 0.005},
			[]StepRule{size(2e6, 30e6, 1e6), {From: 30e6, To: 200e6, Max: 0.005}, size(200e6, 1e9, 1e6)}, false},
		{"a list in the place of steps", []StepRule{{From: 30e6, To: 200e6, Max: 0.01}}, list(50e6, 60e6),
			[]StepRule{{From: 30e6, To: 50e6, Max: 0.01}, list(50e6, 60e6), {From: 60e6, To: 200e6, Max: 0.01}}, true},
		{"one frequency besides", []StepRule{{From: 30e6, To: 200e6, Max: 0.01}}, list(50e6),
			[]StepRule{{From: 30e6, To: 200e6, Max: 0.01}, list(50e6)}, false},
		{"fewer listed", []StepRule{list(30e6, 88e6, 200e6)}, list(30e6, 200e6), []StepRule{list(30e6, 200e6)}, true},
		{"more listed", []StepRule{list(30e6, 200e6)}, list(30e6, 88e6, 200e6), []StepRule{list(30e6, 88e6, 200e6)}, false},
		{"steps in the place of a list", []StepRule{list(30e6, 88e6, 200e6)}, size(30e6, 200e6, 1e6), []StepRule{size(30e6, 200e6, 1e6)}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, sheet := winch(), nothingSet()
			r.Limits = r.Limits[1:2]
			r.Steps, sheet.Steps = c.has, []StepRule{c.set}
			sheet.AgreedBy, sheet.Reasons = "I. Orrevik", map[string]string{"step": "a generator of whole megahertz"}
			applied, err := r.Apply(sheet, jobsheet.Article{Width: 1})
			require.NoError(t, err)
			assert.Equal(t, c.want, applied.Steps)
			require.Len(t, applied.Overrides, 1)
			o := applied.Overrides[0]
			assert.Equal(t, "step", o.Key)
			assert.Equal(t, "a generator of whole megahertz", o.Reason)
			assert.Equal(t, c.relaxed, o.Relaxation, "%s instead of %s", o.Is, o.Was)
		})
	}
	r, sheet := winch(), nothingSet()
	sheet.Steps = []StepRule{size(2e9, 3e9, 1e6)}
	_, err := r.Apply(sheet, jobsheet.Article{Width: 1})
	require.ErrorContains(t, err, "outside everything that the day has to show")
}
