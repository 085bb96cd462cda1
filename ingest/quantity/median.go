package quantity

import (
	"math"
	"slices"
)

// Median returns the middle one of the values, or the mean of the two middle
// ones; NaN where there are none. It reorders the values: sorting them would be
// most of the work of an evaluation.
func Median[T int64 | float64](values []T) float64 {
	n := len(values)
	if n == 0 {
		return math.NaN()
	}
	upper := selectNth(values, n/2)
	if n%2 == 1 {
		return float64(upper)
	}
	lower := slices.Max(values[:n/2])
	return (float64(lower) + float64(upper)) / 2
}

// mostRounds is far beyond what values take that were not made up to take more.
const mostRounds = 100

// selectNth moves the value that sorting would bring to index n there, with
// none above it before and none below it behind, and returns it (Hoare's
// selection; values that were made up to defeat it are sorted).
func selectNth[T int64 | float64](values []T, n int) T {
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

func middleOfThree[T int64 | float64](a, b, c T) T { return max(min(a, b), min(max(a, b), c)) }
