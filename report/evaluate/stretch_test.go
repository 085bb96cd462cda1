package evaluate

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// bruteSustained is the definition word for word: the maximum, over all stretches
// whose time is long enough, of the lowest field in the stretch.
func bruteSustained(s *series, need float64) float64 {
	best := math.NaN()
	for i := range s.at {
		lowest := math.Inf(1)
		for j := i; j < len(s.at); j++ {
			if !s.valid[j] || j > i && s.at[j]-s.at[j-1] > s.gap {
				break
			}
			lowest = math.Min(lowest, s.field[j])
			if s.end[j]-s.begin[i] >= need && !(best >= lowest) {
				best = lowest
			}
		}
	}
	return best
}

// bruteHeld is the time of the longest stretch in which every field is enough.
func bruteHeld(s *series, enough float64) float64 {
	best := 0.0
	for i := range s.at {
		for j := i; j < len(s.at); j++ {
			if !s.valid[j] || s.field[j] < enough || j > i && s.at[j]-s.at[j-1] > s.gap {
				break
			}
			best = math.Max(best, s.end[j]-s.begin[i])
		}
	}
	return best
}

func randomSeries(random *rand.Rand) *series {
	s := &series{window: 4e9, gap: float64(random.IntN(4)) * 1.5e8}
	t := float64(random.IntN(5e8))
	for t < s.window {
		s.at = append(s.at, t)
		s.field = append(s.field, float64(random.IntN(6))) // few values, so that equal ones meet
		s.valid = append(s.valid, random.IntN(12) > 0)
		t += float64(random.IntN(4)) * 1e8
		if random.IntN(15) == 0 {
			t += 6e8
		}
	}
	s.arrange()
	return s
}

func TestStretchesAgreeWithTheirDefinition(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	undefined, defined := 0, 0
	for range 20000 {
		s := randomSeries(random)
		need := float64(random.IntN(12)) * 2.5e8
		want := bruteSustained(s, need)
		got, index := s.sustained(need)
		if math.IsNaN(want) {
			undefined++
			assert.True(t, math.IsNaN(got), "no stretch of %v ns in %+v", need, s)
			assert.Equal(t, -1, index)
			continue
		}
		defined++
		if !assert.Equal(t, want, got, "need %v in %+v", need, s) {
			return
		}
		assert.Equal(t, got, s.field[index], "the index is of the deciding sample")
		enough := float64(random.IntN(6))
		assert.Equal(t, bruteHeld(s, enough), s.held(enough))
	}
	assert.Greater(t, undefined, 1000, "the inputs must hold series without a stretch that is long enough")
	assert.Greater(t, defined, 1000)
}

func TestSamplesSpeakForTheTimeNearestToThem(t *testing.T) {
	for _, test := range []struct {
		name       string
		at         []float64
		window     float64
		gap        float64
		begin, end []float64
	}{
		{"one sample speaks half a gap around it", []float64{500}, 1000, 200, []float64{400}, []float64{600}},
		{"never outside the window", []float64{50, 950}, 1000, 2000, []float64{0, 500}, []float64{500, 1000}},
		{"neighbours share the time between them", []float64{400, 600}, 1000, 300, []float64{250, 500}, []float64{500, 750}},
		{"a distance of exactly the gap is continuous", []float64{400, 600}, 1000, 200, []float64{300, 500}, []float64{500, 700}},
		{"a longer distance breaks", []float64{400, 601}, 1000, 200, []float64{300, 501}, []float64{500, 701}},
		{"without a gap a sample speaks for no time", []float64{400}, 1000, 0, []float64{400}, []float64{400}},
		{"two samples at one time", []float64{400, 400}, 1000, 200, []float64{300, 400}, []float64{400, 500}},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := &series{at: test.at, valid: make([]bool, len(test.at)), window: test.window, gap: test.gap}
			s.arrange()
			assert.Equal(t, test.begin, s.begin)
			assert.Equal(t, test.end, s.end)
		})
	}
}

// The border of the required dwell: a stretch may be one millisecond short.
func TestAStretchMayBeAMillisecondShort(t *testing.T) {
	s := &series{at: []float64{0, 1e9, 2e9, 2.999e9}, field: []float64{5, 5, 5, 5}, valid: []bool{true, true, true, true},
		window: 2.999e9, gap: 1e9}
	s.arrange()
	level, _ := s.sustained(3e9 - 1e6)
	assert.Equal(t, 5.0, level)
	s.window = 2.998e9
	s.at[3] = 2.998e9
	s.arrange()
	_, index := s.sustained(3e9 - 1e6)
	assert.Equal(t, -1, index)
}

func BenchmarkSustained(b *testing.B) {
	s := &series{window: 1e12, gap: 1.5e8}
	random := rand.New(rand.NewPCG(3, 4))
	for i := range 10000 {
		s.at = append(s.at, float64(i)*1e8)
		s.field = append(s.field, 200+random.Float64())
		s.valid = append(s.valid, true)
	}
	s.arrange()
	for b.Loop() {
		s.sustained(3e9)
	}
}
