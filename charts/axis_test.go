package charts

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestFrequencyLabel(t *testing.T) {
	for hertz, want := range map[float64]string{30e6: "30 MHz", 1e9: "1 GHz", 1.708e9: "1.708 GHz", 999e3: "999 kHz", 50: "50 Hz", 0.3 * 1e7: "3 MHz"} {
		assert.Equal(t, want, FrequencyLabel(hertz))
	}
}

func TestFrequencyTicksNameBothEndsAndStandClear(t *testing.T) {
	measure := func(s string) float64 { return 4 * float64(len(s)) }
	for _, r := range []Range{{30e6, 200e6}, {30e6, 35.9e6}, {2e6, 18e9}, {1e9, 1.0001e9}, {1.708e9, 2.08e9}, {14e3, 40e9}} {
		ticks := frequencyTicks(r, 450, measure)
		var labels []string
		var spans [][2]float64
		for _, k := range ticks {
			assert.GreaterOrEqual(t, k.value, r.From)
			assert.LessOrEqual(t, k.value, r.To)
			if k.label == "" {
				continue
			}
			labels = append(labels, k.label)
			x, w := 450*math.Log(k.value/r.From)/math.Log(r.To/r.From), measure(k.label)
			from := math.Min(math.Max(x-w/2, 0), 450-w)
			spans = append(spans, [2]float64{from, from + w})
		}
		assert.Contains(t, labels, FrequencyLabel(r.From))
		assert.Contains(t, labels, FrequencyLabel(r.To))
		assert.GreaterOrEqual(t, len(labels), 4, "%v: %v", r, labels)
		for i, a := range spans {
			for _, b := range spans[i+1:] {
				assert.True(t, a[1] <= b[0] || b[1] <= a[0], "%v: %v", r, labels)
			}
		}
	}
}

func TestLinearScale(t *testing.T) {
	for _, test := range []struct {
		low, high float64
		labels    []string
	}{
		{0, 4.7, []string{"0", "1", "2", "3", "4", "5"}},
		{197.6, 212, []string{"197.5", "200.0", "202.5", "205.0", "207.5", "210.0", "212.5"}},
		{-1, 1, []string{"−1.0", "−0.5", "0.0", "0.5", "1.0"}},
		{3, 3, []string{"1.5", "2.0", "2.5", "3.0", "3.5", "4.0", "4.5"}},
	} {
		s := linearScale(test.low, test.high)
		var labels []string
		for _, k := range s.ticks {
			labels = append(labels, k.label)
		}
		assert.Equal(t, test.labels, labels)
		assert.LessOrEqual(t, s.low, test.low)
		assert.GreaterOrEqual(t, s.high, test.high)
	}
}

func TestLogScale(t *testing.T) {
	s := logScale(0.7, 1900)
	assert.Equal(t, []float64{0.5, 2000}, []float64{s.low, s.high})
	assert.Equal(t, tick{1, "1"}, s.ticks[1])
	assert.Equal(t, tick{2, ""}, s.ticks[2], "over more than three decades only whole ones are named")
	s = logScale(100, 100)
	assert.Greater(t, s.high, s.low)
}
