package evaluate

import "math"

// series is the samples of one visit from one probe, in order of time. Times
// are nanoseconds since the window opened.
type series struct {
	at     []float64
	field  []float64 // corrected, V/m
	valid  []bool
	window float64 // length of the window
	gap    float64 // g, the longest distance that is continuous
	begin  []float64
	end    []float64
}

// shareTime gives each sample the time nearest to it: at most g/2 away, never
// outside the window, and split in the middle between neighbours that are not
// further apart than g.
func (s *series) shareTime() {
	n := len(s.at)
	s.begin, s.end = make([]float64, n), make([]float64, n)
	half := s.gap / 2
	for i, t := range s.at {
		switch {
		case i == 0:
			s.begin[i] = math.Max(0, t-half)
		case t-s.at[i-1] <= s.gap:
			s.begin[i] = (s.at[i-1] + t) / 2
			s.end[i-1] = s.begin[i]
		default:
			s.end[i-1] = s.at[i-1] + half
			s.begin[i] = t - half
		}
	}
	if n > 0 {
		s.end[n-1] = math.Min(s.window, s.at[n-1]+half)
	}
}

// eachStretch calls f with the first index of every maximal run of samples that
// are kept and have no break between them, and the index behind its last.
func (s *series) eachStretch(keep func(i int) bool, f func(from, to int)) {
	from := -1
	for i := range s.at {
		broken := i > 0 && s.at[i]-s.at[i-1] > s.gap
		if from >= 0 && (broken || !keep(i)) {
			f(from, i)
			from = -1
		}
		if from < 0 && keep(i) {
			from = i
		}
	}
	if from >= 0 {
		f(from, len(s.at))
	}
}

// longest returns the time of the longest stretch of kept samples, 0 for none.
func (s *series) longest(keep func(i int) bool) float64 {
	best := 0.0
	s.eachStretch(keep, func(from, to int) {
		best = math.Max(best, s.end[to-1]-s.begin[from])
	})
	return best
}

// sustained returns the highest level that the field stayed at or above for
// need nanoseconds, and the index of the sample that decides it. It is NaN and
// -1 where no stretch of valid samples is that long.
//
// A longer stretch has no higher minimum, so it is enough to look, for each last
// sample, at the shortest stretch that is long enough. Both ends only move
// forward and a queue keeps the candidates for the minimum: O(n).
func (s *series) sustained(need float64) (level float64, index int) {
	level, index = math.NaN(), -1
	queue := make([]int, 0, len(s.at)) // indices of rising field; the first is the minimum
	isValid := func(i int) bool { return s.valid[i] }
	s.eachStretch(isValid, func(from, to int) {
		queue = queue[:0]
		first := from
		for last := from; last < to; last++ {
			for len(queue) > 0 && s.field[queue[len(queue)-1]] >= s.field[last] {
				queue = queue[:len(queue)-1]
			}
			queue = append(queue, last)
			for first < last && s.end[last]-s.begin[first+1] >= need {
				first++
			}
			if s.end[last]-s.begin[first] < need {
				continue
			}
			for queue[0] < first {
				queue = queue[1:]
			}
			if lowest := s.field[queue[0]]; index < 0 || lowest > level {
				level, index = lowest, queue[0]
			}
		}
	})
	return level, index
}
