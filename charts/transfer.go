package charts

import "math"

// Transfer is the field per root watt of forward power over frequency, in
// V/m/√W: what antenna, chamber and place of the probe make of the power.
type Transfer struct {
	Frequencies Range
	Runs        []Series
}

// Draw draws the figure, width by height points.
func (t Transfer) Draw(s Surface, width, height float64) error {
	low, high := extent(true, pointsOf(t.Runs)...)
	if low > high {
		low, high = 1, 10
	}
	vertical := linearScale(0, high*1.05)
	if high/low > 20 {
		vertical = logScale(low, high)
	}
	return drawRuns(s, width, height, axes{
		frequencies: t.Frequencies, vertical: vertical, title: "Field per root watt, V/m/√W",
	}, t.Runs, math.NaN(), "")
}
