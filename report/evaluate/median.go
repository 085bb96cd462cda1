package evaluate

import "math"

// median returns the middle one of the values, or the mean of the two middle
// ones; NaN where there are none. It reorders the values: a full sort would be
// most of the work of an evaluation.
func median(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return math.NaN()
	}
	upper := selectNth(values, n/2)
	if n%2 == 1 {
		return upper
	}
	lower := values[0]
	for _, x := range values[:n/2] {
		lower = max(lower, x)
	}
	return (lower + upper) / 2
}

// selectNth moves the value that would stand at index n of the sorted values
// there, with none greater before it, and returns it (Hoare's selection).
func selectNth(values []float64, n int) float64 {
	low, high := 0, len(values)-1
	for low < high {
		pivot := middleOf(values[low], values[(low+high)/2], values[high])
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

// middleOf returns the middle one of three values.
func middleOf(a, b, c float64) float64 {
	return max(min(a, b), min(max(a, b), c))
}
