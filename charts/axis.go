package charts

import (
	"math"
	"strconv"
	"strings"
)

// tick is a place on an axis with its label; an empty label is a minor tick.
type tick struct {
	value float64
	label string
}

// FrequencyLabel writes a frequency with the prefix that reads best: "30 MHz".
func FrequencyLabel(hertz float64) string {
	units := []struct {
		scale float64
		name  string
	}{{1e9, "GHz"}, {1e6, "MHz"}, {1e3, "kHz"}, {1, "Hz"}}
	for _, u := range units {
		if hertz >= u.scale*(1-1e-9) || u.scale == 1 {
			return strconv.FormatFloat(hertz/u.scale, 'g', 6, 64) + " " + u.name
		}
	}
	return ""
}

// frequencyTicks labels a logarithmic axis of the given width: both ends, and
// between them as many round frequencies as stand clear of each other. Round
// frequencies without a label remain as minor ticks.
func frequencyTicks(r Range, width float64, measure func(string) float64) []tick {
	place := func(f float64) float64 { return width * math.Log(f/r.From) / math.Log(r.To/r.From) }
	const clear = 10 // points between two labels
	type span struct{ from, to float64 }
	taken := []span{
		{0, measure(FrequencyLabel(r.From))},
		{width - measure(FrequencyLabel(r.To)), width},
	}
	ticks := []tick{{r.From, FrequencyLabel(r.From)}, {r.To, FrequencyLabel(r.To)}}
	seen := map[float64]bool{}
	for _, rank := range roundFrequencies(r) {
		for _, f := range rank {
			if seen[f] || f <= r.From*(1+1e-9) || f >= r.To*(1-1e-9) {
				continue
			}
			seen[f] = true
			label := FrequencyLabel(f)
			at, half := place(f), measure(label)/2+clear
			free := true
			for _, t := range taken {
				free = free && (at+half <= t.from || at-half >= t.to)
			}
			if !free {
				label = ""
			} else {
				taken = append(taken, span{at - half + clear, at + half - clear})
			}
			ticks = append(ticks, tick{f, label})
		}
	}
	return ticks
}

// roundFrequencies lists candidates for labels, the roundest first.
func roundFrequencies(r Range) [][]float64 {
	var ranks [][]float64
	decades := math.Log10(r.To / r.From)
	mantissas := [][]float64{{1}, {3}, {2, 5}, {4, 6, 8}, {1.5}, {1.2, 2.5}, {7, 9}}
	if decades > 2.2 {
		mantissas = mantissas[:3]
	}
	for _, set := range mantissas {
		var rank []float64
		for e := math.Floor(math.Log10(r.From)); e <= math.Ceil(math.Log10(r.To)); e++ {
			for _, m := range set {
				rank = append(rank, m*math.Pow(10, e))
			}
		}
		ranks = append(ranks, rank)
	}
	if decades < 0.8 { // too short for whole digits alone
		ranks = ranks[:1]
		for _, parts := range []float64{4, 8, 16} {
			var rank []float64
			step := roundStep((r.To - r.From) / parts)
			for k := math.Ceil(r.From / step); k*step <= r.To; k++ {
				rank = append(rank, k*step)
			}
			ranks = append(ranks, rank)
		}
	}
	return ranks
}

// roundStep is the largest of 1, 2, 2.5 and 5 times a power of ten up to x.
func roundStep(x float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(x)))
	for _, m := range []float64{5, 2.5, 2, 1} {
		if m*power <= x*(1+1e-9) {
			return m * power
		}
	}
	return power
}

// scale is the vertical axis of a figure.
type scale struct {
	low, high   float64
	logarithmic bool
	ticks       []tick
}

// linearScale covers low to high with about five labelled ticks, widened to
// whole steps.
func linearScale(low, high float64) scale {
	if !(high > low) {
		low, high = low-0.5*math.Max(1, math.Abs(low)), high+0.5*math.Max(1, math.Abs(high))
	}
	step := roundStep((high - low) / 4)
	s := scale{low: step * math.Floor(low/step+1e-9), high: step * math.Ceil(high/step-1e-9)}
	for k := 0; ; k++ {
		value := s.low + float64(k)*step
		if value > s.high+step/2 {
			return s
		}
		s.ticks = append(s.ticks, tick{value, plain(value, step)})
	}
}

// logScale covers low to high, both above zero, on a logarithmic axis that ends
// at 1, 2 or 5 times a power of ten.
func logScale(low, high float64) scale {
	s := scale{logarithmic: true, low: roundDown(low), high: roundUp(high)}
	if s.low == s.high {
		s.high = roundUp(s.high * 1.01)
	}
	decades := math.Log10(s.high / s.low)
	for e := math.Floor(math.Log10(s.low)) - 1; e <= math.Ceil(math.Log10(s.high)); e++ {
		for _, m := range []float64{1, 2, 5} {
			value := m * math.Pow(10, e)
			if value < s.low*(1-1e-9) || value > s.high*(1+1e-9) {
				continue
			}
			label := plain(value, value)
			if m != 1 && decades > 3 {
				label = ""
			}
			s.ticks = append(s.ticks, tick{value, label})
		}
	}
	return s
}

func roundDown(x float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(x)+1e-12))
	for _, m := range []float64{5, 2, 1} {
		if m*power <= x*(1+1e-9) {
			return m * power
		}
	}
	return power
}

func roundUp(x float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(x)+1e-12))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= x*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// plain writes a number with the decimals that its step needs.
func plain(x, step float64) string {
	decimals := 0
	if step < 1 {
		decimals = int(math.Ceil(-math.Log10(step) - 1e-9))
	}
	if m := step * math.Pow(10, float64(decimals)); math.Abs(m-math.Round(m)) > 1e-6 {
		decimals++ // a step of 2.5
	}
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	if math.Abs(x) >= 1e7 || decimals > 6 {
		text = strconv.FormatFloat(x, 'g', 3, 64)
	}
	return strings.Replace(text, "-", "−", 1)
}
