package record

import (
	"slices"
	"time"

	"fieldheld/ingest/quantity"
)

// continuousGap returns g, the longest gap that counts as continuous, in
// nanoseconds: the stated one, else three times the median of the positive
// differences between consecutive times. The times need not be sorted.
func continuousGap(times []quantity.Instant, stated time.Duration) float64 {
	if stated > 0 {
		return float64(stated)
	}
	if !slices.IsSorted(times) {
		times = slices.Clone(times)
		slices.Sort(times)
	}
	differences := make([]int64, 0, len(times))
	for i := 1; i < len(times); i++ {
		if d := int64(times[i] - times[i-1]); d > 0 {
			differences = append(differences, d)
		}
	}
	if len(differences) == 0 {
		return 0
	}
	return 3 * quantity.Median(differences)
}

// backwardsPart is the part of the steps between neighbours of different times that
// has to go back for a log to be one that has the newest sample first.
const backwardsPart = 0.9

// newestFirst reports whether a log is to be read backwards.
func newestFirst(times []quantity.Instant) bool {
	back, steps := 0, 0
	for i := 1; i < len(times); i++ {
		if times[i] != times[i-1] {
			steps++
		}
		if times[i] < times[i-1] {
			back++
		}
	}
	return back > 0 && float64(back) >= backwardsPart*float64(steps)
}

// step is a sample that goes back behind the latest one before it.
type step struct{ at, behind int }

// goesBack lists the samples, in file order, that are earlier than the latest
// kept one before them by more than the gap.
func goesBack(times []quantity.Instant, gap float64) []step {
	var back []step
	latest := 0
	for i, t := range times {
		switch {
		case t >= times[latest]:
			latest = i
		case float64(times[latest]-t) > gap:
			back = append(back, step{i, latest})
		}
	}
	return back
}
