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
	return 3 * median(differences)
}

// median returns the middle of the values, the mean of the two middle ones
// where their number is even, 0 of none. It reorders them.
func median(values []int64) float64 {
	n := len(values)
	if n == 0 {
		return 0
	}
	upper := selectNth(values, n/2)
	if n%2 == 1 {
		return float64(upper)
	}
	lower := slices.Max(values[:n/2])
	return float64(lower)/2 + float64(upper)/2
}

// mostRounds is far beyond what values take that were not made up to take more.
const mostRounds = 100

// selectNth moves the value that sorting would bring to index n there, with
// none above it before and none below it behind, and returns it.
func selectNth(values []int64, n int) int64 {
	low, high := 0, len(values)-1
	for rounds := 0; low < high; rounds++ {
		if rounds == mostRounds {
			slices.Sort(values[low : high+1])
			break
		}
		pivot := middleOfThree(values[low], values[(low+high)/2], values[high])
		i, j := low, high
		for i <= j {
			for values[i] < pivot {
				i++
			}
			for values[j] > pivot {
				j--
			}
			if i <= j {
				values[i], values[j] = values[j], values[i]
				i++
				j--
			}
		}
		switch {
		case n <= j:
			high = j
		case n >= i:
			low = i
		default:
			return values[n]
		}
	}
	return values[n]
}

func middleOfThree(a, b, c int64) int64 { return max(min(a, b), min(max(a, b), c)) }

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
