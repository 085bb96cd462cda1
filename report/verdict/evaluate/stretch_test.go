package evaluate

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fieldheld/ingest/quantity"

	"github.com/stretchr/testify/assert"
)

// moment is a part of time between two borders of cells, in which no probe
// changes its reading.
type moment struct {
	begin, end float64
	level      float64
	valid      bool
	joined     bool // no break between it and the one before
}

// moments cuts the window at every border of a cell of every probe: the record of
// several probes, word for word.
func moments(probes []*series, mean bool) []moment {
	var borders []float64
	for _, s := range probes {
		borders = append(append(borders, s.begin...), s.end...)
	}
	slices.Sort(borders)
	borders = slices.Compact(borders)
	var list []moment
	for k := 0; k+1 < len(borders); k++ {
		m := moment{begin: borders[k], end: borders[k+1], level: math.Inf(1), valid: true, joined: k > 0}
		sum := 0.0
		for _, s := range probes {
			i := -1
			for n := range s.at {
				if s.begin[n] <= m.begin && m.end <= s.end[n] {
					i = n
				}
			}
			if i < 0 || !s.valid[i] {
				m.valid = false
				continue
			}
			m.level = math.Min(m.level, s.field[i])
			sum += s.field[i]
		}
		if mean {
			m.level = sum / float64(len(probes))
		}
		list = append(list, m)
	}
	return list
}

// bruteSustained is the definition word for word: the maximum, over all stretches
// whose time is long enough and that have samples enough of every probe, of the
// lowest level in the stretch.
func bruteSustained(probes []*series, mean bool, need float64, samples int) float64 {
	best := math.NaN()
	list := moments(probes, mean)
	for i := range list {
		lowest := math.Inf(1)
		for j := i; j < len(list) && list[j].valid; j++ {
			lowest = math.Min(lowest, list[j].level)
			enough := true
			for _, s := range probes {
				n := 0
				for k, t := range s.at {
					if s.valid[k] && list[i].begin <= t && t <= list[j].end {
						n++
					}
				}
				enough = enough && n >= samples
			}
			if enough && list[j].end-list[i].begin >= need && !(best >= lowest) {
				best = lowest
			}
		}
	}
	return best
}

// bruteHeld is the time of the longest stretch in which every level is enough.
func bruteHeld(probes []*series, mean bool, enough float64) float64 {
	best := 0.0
	list := moments(probes, mean)
	for i := range list {
		for j := i; j < len(list) && list[j].valid && list[j].level >= enough; j++ {
			best = math.Max(best, list[j].end-list[i].begin)
		}
	}
	return best
}

func randomSeries(random *rand.Rand) *series {
	s := &series{to: 4e9, gap: float64(1+random.IntN(4)) * 1.5e8}
	t := float64(random.IntN(5e8))
	for t < s.to {
		s.add(t, float64(random.IntN(6)), random.IntN(12) > 0) // few values, so that equal ones meet
		t += float64(1+random.IntN(4)) * 1e8
		if random.IntN(15) == 0 {
			t += 6e8
		}
	}
	s.layCells()
	return s
}

func TestStretchesAgreeWithTheirDefinition(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	undefined, defined := 0, 0
	for range 6000 {
		probes := []*series{randomSeries(random)}
		for range random.IntN(3) {
			probes = append(probes, randomSeries(random))
		}
		mean := random.IntN(2) == 0
		need, samples := float64(random.IntN(12))*2.5e8, random.IntN(6)
		want := bruteSustained(probes, mean, need, samples)
		var record levels
		record.combine(probes, mean, false)
		got, element := record.sustained(need, quantity.Samples(samples))
		if math.IsNaN(want) {
			undefined++
			assert.True(t, math.IsNaN(got), "no stretch of %v ns with %d samples in %+v", need, samples, probes)
			assert.Equal(t, -1, element)
			continue
		}
		defined++
		if !assert.InDelta(t, want, got, 1e-12, "need %v and %d samples in %+v", need, samples, probes) {
			return
		}
		from := record.source(element)
		if len(probes) == 1 || !mean {
			assert.Equal(t, got, probes[from.probe].field[from.sample], "the reading that decides")
		}
		enough := float64(random.IntN(6))
		assert.InDelta(t, bruteHeld(probes, mean, enough), record.held(enough), 1e-3)
	}
	assert.Greater(t, undefined, 500, "the inputs must hold series without a stretch that is long enough")
	assert.Greater(t, defined, 500)
}

// Two readings of one time count as two, and the lower one is not passed over.
func TestTwoReadingsOfOneTime(t *testing.T) {
	s := &series{to: 1000, gap: 500}
	for _, sample := range []struct{ at, field float64 }{{100, 5}, {400, 5}, {400, 2}, {700, 5}} {
		s.add(sample.at, sample.field, true)
	}
	s.layCells()
	other := &series{to: 1000, gap: 2000}
	other.add(500, 9, true)
	other.layCells()
	for _, probes := range [][]*series{{s}, {s, other}} {
		var record levels
		record.combine(probes, false, false)
		level, _ := record.sustained(800, 0)
		assert.Equal(t, 2.0, level, "%d probes", len(probes))
		level, _ = record.sustained(250, 0)
		assert.Equal(t, 5.0, level, "%d probes", len(probes))
	}
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
			s := &series{at: test.at, valid: make([]bool, len(test.at)), to: test.window, gap: test.gap}
			s.layCells()
			assert.Equal(t, test.begin, s.begin)
			assert.Equal(t, test.end, s.end)
		})
	}
}

// sustainedOf is the level and the deciding sample of one probe.
func sustainedOf(s *series, need float64, samples int) (float64, int) {
	var record levels
	record.combine([]*series{s}, false, false)
	return record.sustained(need, quantity.Samples(samples))
}

// The border of the required dwell: a stretch may be one millisecond short.
func TestAStretchMayBeAMillisecondShort(t *testing.T) {
	for last, want := range map[float64]int{2.999e9: 0, 2.998e9: -1} {
		s := &series{to: last, gap: 1e9}
		for _, at := range []float64{0, 1e9, 2e9, last} {
			s.add(at, 5, true)
		}
		s.layCells()
		_, index := sustainedOf(s, 3e9-1e6, 3)
		assert.Equal(t, want, min(index, 0), "to %v", last)
	}
}

func BenchmarkSustained(b *testing.B) {
	s := &series{to: 1e12, gap: 1.5e8}
	random := rand.New(rand.NewPCG(3, 4))
	for i := range 10000 {
		s.add(float64(i)*1e8, 200+random.Float64(), true)
	}
	s.layCells()
	for b.Loop() {
		sustainedOf(s, 3e9, 3)
	}
}
