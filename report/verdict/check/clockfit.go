package check

import (
	"math"
	"slices"
	"sort"
	"time"

	"fieldheld/ingest/quantity"
)

// fit is the shift of a file with which it matches most visits.
type fit struct {
	shift  time.Duration
	low    time.Duration // from here
	high   time.Duration // to here it matches nearly as many visits
	spread time.Duration // how far low and high lie from shift at the most
	agree  int           // visits that match
	rivals []time.Duration
}

// edge is where a pair of a visit and a period begins or ends to match.
type edge struct {
	at    time.Duration
	visit int
	opens bool
}

// peak is a stretch of shifts with which nearly as many visits match as with any.
type peak struct {
	low, high time.Duration
	middle    time.Duration // of those that match most
	agree     int
	scatter   float64 // of what lies between the edges of the file and those of the visits
}

// bestFit returns the shift with which most visits lie within a period of their own
// frequency. Every pair of a visit and a period allows a range of shifts; the answer
// is where the ranges of most visits overlap. Other stretches at which nearly as many
// do are rivals, unless the edges lie much less evenly there: where there are any,
// what the file shows does not tell the shift.
func bestFit(visits []*moment, content []period) fit {
	peaks := peaksOf(edgesOf(visits, content), len(visits))
	if len(peaks) == 0 {
		return fit{}
	}
	best := 0
	for i := range peaks {
		peaks[i].scatter = scatter(visits, content, peaks[i].middle)
		if peaks[i].scatter < peaks[best].scatter {
			best = i
		}
	}
	found := fit{low: peaks[best].low, high: peaks[best].high, agree: peaks[best].agree}
	found.settle(peaks[best].middle)
	uneven := peaks[best].scatter * (1 + scatterOfFew/math.Sqrt(float64(len(visits))))
	for i, p := range peaks {
		if i != best && (p.scatter < uneven || p.agree > found.agree) {
			found.rivals = append(found.rivals, rounded(p.middle, p.low, p.high))
		}
	}
	sort.Slice(found.rivals, func(a, b int) bool {
		return (found.rivals[a] - found.shift).Abs() < (found.rivals[b] - found.shift).Abs()
	})
	return found
}

// scatterOfFew is how much more edges have to scatter with a rival than with the best
// shift: 3.5 times as much for 8 visits, twice as much for 50. By chance that happens
// once in a thousand times (F test of two variances).
const scatterOfFew = 7

// peaksOf finds the stretches of shifts with which nearly as many visits match as
// with the best.
func peaksOf(edges []edge, visits int) []peak {
	depths := depthsOf(edges, visits)
	most := 0
	for _, depth := range depths {
		most = max(most, depth)
	}
	if most == 0 {
		return nil
	}
	nearly := max(1, min(int(math.Ceil(clockRival*float64(most))), most-2))
	var peaks []peak
	for i := 0; i < len(depths); i++ {
		if depths[i] < nearly {
			continue
		}
		k, agree := i, depths[i]
		for k+1 < len(depths) && depths[k+1] >= nearly {
			k++
			agree = max(agree, depths[k])
		}
		end := min(k+2, len(edges))
		peaks = append(peaks, peak{low: edges[i].at, high: edges[end-1].at, agree: agree,
			middle: middleOfBest(edges[i:end], depths[i:k+1], agree)})
		i = k
	}
	return peaks
}

// scatter says how unevenly the edges of the file lie beside those of the visits, in
// nanoseconds: the standard deviation of the time from the beginning of a period to
// that of its visit, or between their ends, whichever is more even. A tenth of the
// visits may lie anywhere.
func scatter(visits []*moment, content []period, shift time.Duration) float64 {
	var begins, ends []float64
	for _, v := range visits {
		if i := v.around(content, shift); i >= 0 {
			begins = append(begins, float64(v.start.Sub(content[i].from)-shift))
			ends = append(ends, float64(v.end.Sub(content[i].to)-shift))
		}
	}
	return min(unevenness(begins), unevenness(ends))
}

// unevenness is the standard deviation about the median, without the tenth of the
// values that lie furthest from it.
func unevenness(values []float64) float64 {
	if len(values) == 0 {
		return math.Inf(1)
	}
	middle := medianOf(values)
	for i := range values {
		values[i] = math.Abs(values[i] - middle)
	}
	sort.Float64s(values)
	kept, sum := values[:len(values)-len(values)/10], 0.0
	for _, d := range kept {
		sum += d * d
	}
	return math.Sqrt(sum / float64(len(kept)))
}

func edgesOf(visits []*moment, content []period) []edge {
	var edges []edge
	for i, v := range visits {
		for _, p := range content {
			from, to := max(v.end.Sub(p.to), -clockMost), min(v.start.Sub(p.from), clockMost)
			if from <= to && v.isAt(p.frequency) {
				edges = append(edges, edge{from, i, true}, edge{to, i, false})
			}
		}
	}
	slices.SortFunc(edges, func(a, b edge) int {
		switch {
		case a.at != b.at:
			return int(max(-1, min(1, a.at-b.at)))
		case a.opens == b.opens:
			return a.visit - b.visit
		case a.opens:
			return -1
		}
		return 1
	})
	return edges
}

// depthsOf counts, behind each edge, the visits that match.
func depthsOf(edges []edge, visits int) []int {
	open, depth := make([]int, visits), 0
	depths := make([]int, len(edges))
	for i, e := range edges {
		if e.opens {
			if open[e.visit]++; open[e.visit] == 1 {
				depth++
			}
		} else if open[e.visit]--; open[e.visit] == 0 {
			depth--
		}
		depths[i] = depth
	}
	return depths
}

// middleOfBest is the middle of the longest stretch of shifts that match the most.
func middleOfBest(edges []edge, depths []int, most int) time.Duration {
	middle, longest := time.Duration(0), time.Duration(-1)
	for i := 0; i < len(depths); i++ {
		if depths[i] < most {
			continue
		}
		k := i
		for k+1 < len(depths) && depths[k+1] >= most {
			k++
		}
		from, to := edges[i].at, edges[min(k+1, len(edges)-1)].at
		if to-from > longest {
			middle, longest = (from+to)/2, to-from
		}
		i = k
	}
	return middle
}

// settle takes a shift within the range: a whole half hour where one lies in it,
// because a forgotten time zone is likelier than any other offset.
func (f *fit) settle(shift time.Duration) {
	f.shift = rounded(shift, f.low, f.high)
	if zone := shift.Round(zoneGrain); zone != 0 && f.low <= zone && zone <= f.high {
		f.shift = zone
	}
	f.spread = max(f.shift-f.low, f.high-f.shift)
	f.spread = (f.spread + clockRoundFine - 1).Truncate(clockRoundFine)
	if f.spread > clockRounding {
		f.spread = (f.spread + clockRounding - 1).Truncate(clockRounding)
	}
}

// rounded writes a shift no finer than it is known.
func rounded(shift, low, high time.Duration) time.Duration {
	for _, grain := range []time.Duration{clockRounding, clockRoundFine, time.Millisecond} {
		if r := shift.Round(grain); low <= r && r <= high {
			return r
		}
	}
	return shift
}

// refineSteps is how many shifts of the range are compared by their level.
const refineSteps = 60

// levelSlack is how far below the lowest acceptable level a reading may lie that
// still belongs to the visit.
const levelSlack = quantity.Decibel(0.5)

// refine takes, of the shifts that match, one with which the readings of most visits
// are at their level throughout: an edge tells when the field began to rise, and the
// visit begins when it stands.
func (a *apart) refine(visits []*moment) {
	if a.file.isPower || len(a.rivals) > 0 {
		return
	}
	held := func(shift time.Duration) int {
		n := 0
		for _, v := range visits {
			if v.held(shift) {
				n++
			}
		}
		return n
	}
	counts, best := make([]int, refineSteps+1), 0
	at := func(i int) time.Duration { return a.low + (a.high-a.low)*time.Duration(i)/refineSteps }
	for i := range counts {
		counts[i] = held(at(i))
		best = max(best, counts[i])
	}
	if best < len(visits)/2 || held(a.shift) >= best && a.isZone() {
		return
	}
	from, length := 0, 0
	for i := 0; i < len(counts); i++ {
		k := i
		for k < len(counts) && counts[k] == best {
			k++
		}
		if k-i > length {
			from, length = i, k-i
		}
		i = max(i, k-1)
	}
	a.settle((at(from) + at(from+length-1)) / 2)
}

// held reports whether the probe's readings are at the level of the visit throughout
// when the log is shifted.
func (m *moment) held(shift time.Duration) bool {
	if m.use == nil || m.use.log == nil {
		return false
	}
	figures := figuresOf(m.visit, m.use.probe)
	if figures == nil {
		return false
	}
	log, lowest := m.use.log, m.visit.Lowest.Plus(-levelSlack)
	factor := quantity.FieldStrength(figures.Factor)
	from, to := within(log.Times, m.start.Add(-shift), m.end.Add(-shift))
	for i := from; i < to; i++ {
		if !(log.Readings[i]*factor >= lowest) || log.Frequencies != nil && !m.isAt(log.Frequencies[i]) {
			return false
		}
	}
	return from < to
}

// isEmpty reports whether the log has no reading in the visit when it is shifted.
func (m *moment) isEmpty(shift time.Duration) bool {
	from, to := within(m.use.log.Times, m.start.Add(-shift), m.end.Add(-shift))
	return from == to
}

// mends reports whether the proposed offset makes a visit match that does not match
// as the times stand; where several are proposed, whether it does not match.
func (a *apart) mends(m *moment) bool {
	if a.without || m.agrees {
		return a.without
	}
	if !a.file.isPower && len(a.rivals) == 0 {
		return m.held(a.shift) || m.isEmpty(0) && !m.isEmpty(a.shift)
	}
	if !a.file.isPower {
		return true
	}
	return !m.within(a.content, 0) && (len(a.rivals) > 0 || m.within(a.content, a.shift))
}
