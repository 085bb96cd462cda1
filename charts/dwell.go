package charts

import "math"

// Dwell is how long the field stayed at or above the lowest acceptable level,
// over frequency, in seconds.
type Dwell struct {
	Frequencies Range
	Runs        []Series
	Required    float64 // seconds
}

// Draw draws the figure, width by height points.
func (d Dwell) Draw(s Surface, width, height float64) error {
	_, high := extent(false, pointsOf(d.Runs)...)
	high = math.Max(high, d.Required)
	return drawRuns(s, width, height, axes{
		frequencies: d.Frequencies, vertical: linearScale(0, high*1.05), title: "Held dwell, s",
	}, d.Runs, d.Required, "required dwell")
}
