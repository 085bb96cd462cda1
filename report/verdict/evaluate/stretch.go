package evaluate

import (
	"math"

	"fieldheld/ingest/quantity"
)

// series is the samples of one visit from one source, in order of time. Times
// are nanoseconds since the window opened. One series serves all visits of a
// source, so that its columns are laid out once.
type series struct {
	at       []float64
	field    []float64 // corrected, V/m
	valid    []bool
	from, to float64 // the part of the window that the samples may speak for
	gap      float64 // g, the longest distance that is continuous

	begin, end []float64 // the time that each sample speaks for: its cell
}

// reset empties the series for a part of a new window.
func (s *series) reset(from, to, gap float64) {
	s.at, s.field, s.valid, s.from, s.to, s.gap = s.at[:0], s.field[:0], s.valid[:0], from, to, gap
	s.begin, s.end = s.begin[:0], s.end[:0]
}

// join appends the samples of another series and the times that they speak for.
func (s *series) join(other *series) {
	s.at, s.field, s.valid = append(s.at, other.at...), append(s.field, other.field...), append(s.valid, other.valid...)
	s.begin, s.end = append(s.begin, other.begin...), append(s.end, other.end...)
}

// add appends a sample.
func (s *series) add(at, field float64, valid bool) {
	s.at = append(s.at, at)
	s.field = append(s.field, field)
	s.valid = append(s.valid, valid)
}

// layCells gives each sample the time nearest to it: at most g/2 away, never
// outside their part of the window, and split in the middle between neighbours that are not
// further apart than g. Where two cells do not touch, continuity is broken.
func (s *series) layCells() {
	half := s.gap / 2
	for i, t := range s.at {
		begin := max(s.from, t-half)
		if i > 0 {
			if before := s.at[i-1]; t-before <= s.gap {
				begin = (before + t) / 2
				s.end = append(s.end, begin)
			} else {
				begin = t - half
				s.end = append(s.end, before+half)
			}
		}
		s.begin = append(s.begin, begin)
	}
	if n := len(s.at); n > 0 {
		s.end = append(s.end, min(s.to, s.at[n-1]+half))
	}
}

// levels is the level of a visit over time, from all of its probes: elements
// that each have one level, in order of time. It is the record on which dwell
// and level are judged.
type levels struct {
	begin, end []float64 // nanoseconds since the window opened
	level      []float64 // V/m
	stretches  []stretch // elements without a break, as long as they come
	from       []reading // the reading that gives the level; empty where the elements are the samples of one probe

	probes     []*series
	everything bool    // samples that cannot be trusted are taken as well
	queue      []int   // of sustained
	count      []tally // of sustained
}

// stretch is a run of elements without a break: the first index and the one
// behind the last.
type stretch struct{ from, to int }

// reading is a sample of one of the probes of a record.
type reading struct{ probe, sample int }

// combine makes the record of the probes. With everything, samples that cannot be
// trusted are taken as well, which says what the record would be without them.
func (r *levels) combine(probes []*series, mean, everything bool) {
	r.probes, r.everything, r.stretches, r.from = probes, everything, r.stretches[:0], r.from[:0]
	if len(probes) == 1 {
		s := probes[0]
		r.begin, r.end, r.level = s.begin, s.end, s.field
		r.chain()
		return
	}
	r.merge(mean)
}

// chain finds the stretches of a record whose elements are the cells of one probe.
func (r *levels) chain() {
	open := -1
	for i := range r.begin {
		valid := r.trusts(r.probes[0], i)
		if open >= 0 && (!valid || r.begin[i] > r.end[i-1]) {
			r.stretches = append(r.stretches, stretch{open, i})
			open = -1
		}
		if open < 0 && valid {
			open = i
		}
	}
	if open >= 0 {
		r.stretches = append(r.stretches, stretch{open, len(r.begin)})
	}
}

// trusts reports whether the record takes a sample.
func (r *levels) trusts(s *series, i int) bool { return r.everything || s.valid[i] }

// merge goes through the cells of several probes side by side. At every moment
// the level is the lowest of theirs, or their mean; a moment for which one of them
// has no valid cell breaks the stretch.
func (r *levels) merge(mean bool) {
	r.begin, r.end, r.level = nil, nil, nil
	at := make([]int, len(r.probes))
	open := -1
	shut := func() {
		if open >= 0 {
			r.stretches = append(r.stretches, stretch{open, len(r.begin)})
		}
		open = -1
	}
	for {
		from, to, valid, moment := math.Inf(-1), math.Inf(1), true, false
		for p, s := range r.probes {
			i := at[p]
			if i == len(s.at) {
				shut()
				return
			}
			from, to = max(from, s.begin[i]), min(to, s.end[i])
			valid = valid && r.trusts(s, i)
			moment = moment || s.begin[i] == s.end[i]
		}
		if from < to || from == to && moment {
			if n := len(r.end); !valid || open >= 0 && r.end[n-1] != from {
				shut()
			}
			if valid {
				if open < 0 {
					open = len(r.begin)
				}
				r.element(from, to, at, mean)
			}
		} else if from > to {
			shut()
		}
		for p, s := range r.probes {
			if s.end[at[p]] == to {
				at[p]++
			}
		}
	}
}

// element appends the level of a time for which each probe has one reading.
func (r *levels) element(from, to float64, at []int, mean bool) {
	lowest, sum, low := math.Inf(1), 0.0, reading{}
	for p, s := range r.probes {
		e := s.field[at[p]]
		sum += e
		if e < lowest {
			lowest, low = e, reading{p, at[p]}
		}
	}
	if mean {
		lowest = sum / float64(len(r.probes))
	}
	r.begin, r.end = append(r.begin, from), append(r.end, to)
	r.level, r.from = append(r.level, lowest), append(r.from, low)
}

// source is the reading that gives the level of an element: the lowest of them.
func (r *levels) source(element int) reading {
	if len(r.probes) == 1 {
		return reading{0, element}
	}
	return r.from[element]
}

// time is how long the elements [from, to) last.
func (r *levels) time(from, to int) float64 { return r.end[to-1] - r.begin[from] }

// longest returns the time of the longest stretch, 0 for none.
func (r *levels) longest() float64 {
	best := 0.0
	for _, st := range r.stretches {
		best = max(best, r.time(st.from, st.to))
	}
	return best
}

// held returns the time of the longest stretch in which every level is enough.
func (r *levels) held(enough float64) float64 {
	best := 0.0
	for _, st := range r.stretches {
		from := -1
		for i := st.from; i < st.to; i++ {
			if !(r.level[i] >= enough) {
				from = -1
				continue
			}
			if from < 0 {
				from = i
			}
			best = max(best, r.time(from, i+1))
		}
	}
	return best
}

// tally counts the samples of one probe whose own time lies in a stretch, borders
// included, while both ends of the stretch move forward.
type tally struct{ low, high, count int }

// upTo takes the samples up to a time into the tally of a probe.
func (r *levels) upTo(p int, end float64) {
	t, s := &r.count[p], r.probes[p]
	for t.high < len(s.at) && s.at[t.high] <= end {
		if t.high >= t.low && r.trusts(s, t.high) {
			t.count++
		}
		t.high++
	}
}

// since returns the tally of a probe for a stretch that begins later.
func (r *levels) since(p int, begin float64) tally {
	t, s := r.count[p], r.probes[p]
	for t.low < len(s.at) && s.at[t.low] < begin {
		if t.low < t.high && r.trusts(s, t.low) {
			t.count--
		}
		t.low++
	}
	return t
}

// sustained returns the highest level that the field stayed at or above for
// need nanoseconds with at least so many samples of every probe, and the index of
// the element that decides it. It is NaN and -1 where there is no such stretch.
//
// A longer stretch has no higher minimum, so it is enough to look, for each last
// element, at the shortest stretch that is long enough and has samples enough.
// Both ends only move forward and a queue keeps the candidates for the minimum:
// O(n).
func (r *levels) sustained(need float64, samples quantity.Samples) (level float64, element int) {
	level, element = math.NaN(), -1
	for len(r.count) < len(r.probes) {
		r.count = append(r.count, tally{})
	}
	r.count = r.count[:len(r.probes)]
	clear(r.count)
	for _, st := range r.stretches {
		queue, head := r.queue[:0], 0 // indices of rising level; the one at head is the minimum
		first := st.from
		r.beginAt(first)
		for last := st.from; last < st.to; last++ {
			for len(queue) > head && r.level[queue[len(queue)-1]] >= r.level[last] {
				queue = queue[:len(queue)-1]
			}
			queue = append(queue, last)
			for p := range r.probes {
				r.upTo(p, r.end[last])
			}
			for first < last && r.time(first+1, last+1) >= need && r.enoughFrom(first+1, samples) {
				first++
				r.beginAt(first)
			}
			if r.time(first, last+1) < need || !r.enoughFrom(first, samples) {
				continue
			}
			for queue[head] < first {
				head++
			}
			if lowest := r.level[queue[head]]; element < 0 || lowest > level {
				level, element = lowest, queue[head]
			}
		}
		r.queue = queue
	}
	return level, element
}

// beginAt lets the tallies begin with an element.
func (r *levels) beginAt(first int) {
	for p := range r.probes {
		r.count[p] = r.since(p, r.begin[first])
	}
}

// enoughFrom reports whether every probe has enough samples from an element on.
func (r *levels) enoughFrom(first int, samples quantity.Samples) bool {
	for p := range r.probes {
		if quantity.Samples(r.since(p, r.begin[first]).count) < samples {
			return false
		}
	}
	return true
}
