package requirement

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
)

func twoRules() *Requirement {
	return &Requirement{Steps: []StepRule{{From: 1e9, To: 1.09e9, Max: 0.005}, {From: 1.09e9, To: 2.34e9, Max: 0.02}}}
}

func TestStep(t *testing.T) {
	gap := &Requirement{Steps: []StepRule{{From: 1e6, To: 2e6, Max: 0.01}, {From: 8e6, To: 9e6, Max: 0.03}}}
	for _, c := range []struct {
		name string
		r    *Requirement
		f    quantity.Frequency
		want quantity.Ratio
	}{
		{"inside a rule", twoRules(), 1.05e9, 0.005},
		{"on the border the larger", twoRules(), 1.09e9, 0.02},
		{"on the border, but for rounding", twoRules(), 1.09e9 * (1 - 0.9e-9), 0.02},
		{"just below the border", twoRules(), 1.0899e9, 0.005},
		{"below all rules the nearest", twoRules(), 0.999e9, 0.005},
		{"above all rules the nearest", twoRules(), 3e9, 0.02},
		{"between two rules the nearer", gap, 2.5e6, 0.01},
		{"between two rules the nearer", gap, 7e6, 0.03},
		{"as far from one as from the other: the smaller", gap, 4e6, 0.01},
	} {
		assert.Equal(t, c.want, c.r.Step(c.f), "%s: %s", c.name, c.f)
	}
	assert.False(t, quantity.Defined((&Requirement{}).Step(1e6)), "without a rule there is no step")
}

func TestSequence(t *testing.T) {
	onePercent := &Requirement{Steps: []StepRule{{From: 1e9, To: 3e9, Max: 0.01}}}
	for _, c := range []struct {
		name     string
		r        *Requirement
		from, to quantity.Frequency
		want     []quantity.Frequency
	}{
		{"the last step is what is left", onePercent, 1e9, 1.025e9, []quantity.Frequency{1e9, 1.01e9, 1.0201e9, 1.025e9}},
		{"an end reached exactly stands once", onePercent, 1e9, 1.0201e9, []quantity.Frequency{1e9, 1.01e9, 1.0201e9}},
		{"a range of one frequency", onePercent, 1e9, 1e9, []quantity.Frequency{1e9}},
		{"the step follows the rules", twoRules(), 1.085e9, 1.14e9,
			[]quantity.Frequency{1.085e9, 1.085e9 * 1.005, 1.085e9 * 1.005 * 1.02, 1.085e9 * 1.005 * 1.02 * 1.02, 1.14e9}},
		{"without a rule both ends", &Requirement{}, 1e9, 2e9, []quantity.Frequency{1e9, 2e9}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.InDeltaSlice(t, asFloats(c.want), asFloats(c.r.Sequence(c.from, c.to)), 1)
		})
	}
}

func TestFill(t *testing.T) {
	fivePercent := &Requirement{Steps: []StepRule{{From: 80e6, To: 517.5e6, Max: 0.05}}}
	for _, c := range []struct {
		name string
		r    *Requirement
		a, b quantity.Frequency
		want []quantity.Frequency
	}{
		{"the geometric middle halves a hole", fivePercent, 88032080, 96870587, []quantity.Frequency{92345651.03149667}},
		{"a step of just the size leaves nothing to fill", fivePercent, 100e6, 105e6, nil},
		{"the slack of steps", fivePercent, 100e6, 105e6 * (1 + 0.9e-9), nil},
		{"a little more needs one", fivePercent, 100e6, 105.001e6, []quantity.Frequency{quantity.Frequency(math.Sqrt(100e6 * 105.001e6))}},
		{"no hole", fivePercent, 100e6, 100e6, nil},
		{"no way back", fivePercent, 100e6, 90e6, nil},
		{"a hole that begins at the border of two rules", twoRules(), 1.09e9, 1.1e9, nil},
		{"a hole across the border obeys the smaller step below it", twoRules(), 1.08e9, 1.1e9,
			[]quantity.Frequency{1.08e9 * quantity.Frequency(math.Pow(1.1/1.08, 0.25)), 1.08e9 * quantity.Frequency(math.Pow(1.1/1.08, 0.5)),
				1.08e9 * quantity.Frequency(math.Pow(1.1/1.08, 0.75))}},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.InDeltaSlice(t, asFloats(c.want), asFloats(c.r.Fill(c.a, c.b)), 0.01)
		})
	}
}

// fillAsDefined tries n = 1, 2, 3 … and every step of each, as the rules say it.
func fillAsDefined(r *Requirement, a, b quantity.Frequency) []quantity.Frequency {
	for n := 1; ; n++ {
		list := make([]quantity.Frequency, n+1)
		for k := range list {
			list[k] = a * quantity.Frequency(math.Pow(float64(b/a), float64(k)/float64(n)))
		}
		within := true
		for k := range n {
			f := list[k]
			within = within && list[k+1]-f <= quantity.Frequency(r.Step(f))*f+quantity.Slack*f
		}
		if within {
			return list[1:n]
		}
	}
}

func TestFillAgreesWithItsDefinition(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 400 {
		var r Requirement
		edge := quantity.Frequency(100e6)
		for range 1 + random.IntN(5) {
			next := edge * quantity.Frequency(1+random.Float64())
			r.Steps = append(r.Steps, StepRule{From: edge, To: next, Max: quantity.Ratio(0.002 + 0.1*random.Float64())})
			edge = next
		}
		a := 100e6 * quantity.Frequency(math.Pow(float64(edge/100e6), random.Float64()))
		b := a * quantity.Frequency(math.Pow(float64(edge/a), random.Float64()))
		want, got := fillAsDefined(&r, a, b), r.Fill(a, b)
		require.Len(t, got, len(want), "%v from %v to %v", r.Steps, a, b)
		assert.InDeltaSlice(t, asFloats(want), asFloats(got), 1)
	}
}

// No step of the list that the bench works from may be larger than allowed.
func TestSequenceHasNoStepTooWide(t *testing.T) {
	r := wholeTable(t, builtinName("ground", "navy"))
	list := r.Sequence(2e6, 40e9)
	for i := range len(list) - 1 {
		f := list[i]
		require.LessOrEqual(t, float64(list[i+1]-f), float64(r.Step(f))*float64(f)*(1+1e-12), "after %s", f)
		require.Less(t, f, list[i+1])
	}
	assert.Equal(t, quantity.Frequency(2e6), list[0])
	assert.Equal(t, quantity.Frequency(40e9), list[len(list)-1])
}

func asFloats(list []quantity.Frequency) []float64 {
	floats := make([]float64, len(list))
	for i, f := range list {
		floats[i] = float64(f)
	}
	return floats
}

func BenchmarkFillAWholeRequirement(b *testing.B) {
	r, err := Builtin(builtinName("ground", "army"))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		r.Fill(2e6, 18e9)
	}
}
