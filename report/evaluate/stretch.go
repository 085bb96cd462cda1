package evaluate

import "math"

// series is the samples of one visit from one probe, in order of time. Times
// are nanoseconds since the window opened. One series serves all visits of a
// probe, so that its columns are laid out once.
type series struct {
	at     []float64
	field  []float64 // corrected, V/m
	valid  []bool
	window float64 // length of the window
	gap    float64 // g, the longest distance that is continuous

	begin, end []float64 // the time that each sample speaks for
	stretches  []stretch // of valid samples, as long as they come
	queue      []int     // of sustained
}

// stretch is a run of samples without a break: the first index and the one
// behind the last.
type stretch struct{ from, to int }

// reset empties the series for a new window.
func (s *series) reset(window, gap float64) {
	s.at, s.field, s.valid, s.window, s.gap = s.at[:0], s.field[:0], s.valid[:0], window, gap
}

// add appends a sample.
func (s *series) add(at, field float64, valid bool) {
	s.at = append(s.at, at)
	s.field = append(s.field, field)
	s.valid = append(s.valid, valid)
}

// arrange gives each sample the time nearest to it: at most g/2 away, never
// outside the window, and split in the middle between neighbours that are not
// further apart than g. It then finds the stretches of valid samples.
func (s *series) arrange() {
	s.begin, s.end, s.stretches = s.begin[:0], s.end[:0], s.stretches[:0]
	half, open := s.gap/2, -1
	for i, t := range s.at {
		begin := max(0, t-half)
		if i > 0 {
			if before := s.at[i-1]; t-before <= s.gap {
				begin = (before + t) / 2
				s.end = append(s.end, begin)
			} else {
				begin = t - half
				s.end = append(s.end, before+half)
				open = s.close(open, i)
			}
		}
		s.begin = append(s.begin, begin)
		switch {
		case !s.valid[i]:
			open = s.close(open, i)
		case open < 0:
			open = i
		}
	}
	if n := len(s.at); n > 0 {
		s.end = append(s.end, min(s.window, s.at[n-1]+half))
		s.close(open, n)
	}
}

// close ends the stretch that began at open, if one did.
func (s *series) close(open, to int) int {
	if open >= 0 {
		s.stretches = append(s.stretches, stretch{open, to})
	}
	return -1
}

// time is how long the samples [from, to) speak for.
func (s *series) time(from, to int) float64 { return s.end[to-1] - s.begin[from] }

// longest returns the time of the longest stretch of valid samples, 0 for none.
func (s *series) longest() float64 {
	best := 0.0
	for _, st := range s.stretches {
		best = max(best, s.time(st.from, st.to))
	}
	return best
}

// held returns the time of the longest stretch in which every field is enough.
func (s *series) held(enough float64) float64 {
	best := 0.0
	for _, st := range s.stretches {
		from := -1
		for i := st.from; i < st.to; i++ {
			if !(s.field[i] >= enough) {
				from = -1
				continue
			}
			if from < 0 {
				from = i
			}
			best = max(best, s.time(from, i+1))
		}
	}
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
	for _, st := range s.stretches {
		queue, head := s.queue[:0], 0 // indices of rising field; the one at head is the minimum
		first := st.from
		for last := st.from; last < st.to; last++ {
			for len(queue) > head && s.field[queue[len(queue)-1]] >= s.field[last] {
				queue = queue[:len(queue)-1]
			}
			queue = append(queue, last)
			for first < last && s.time(first+1, last+1) >= need {
				first++
			}
			if s.time(first, last+1) < need {
				continue
			}
			for queue[head] < first {
				head++
			}
			if lowest := s.field[queue[head]]; index < 0 || lowest > level {
				level, index = lowest, queue[head]
			}
		}
		s.queue = queue
	}
	return level, index
}
