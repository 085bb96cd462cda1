package charts

import "math"

// Mismatch is the VSWR at the antenna over frequency.
type Mismatch struct {
	Frequencies Range
	Runs        []Series
	Limit       float64 // greatest VSWR that the job sheet allows; NaN where it sets none
}

// Draw draws the figure, width by height points.
func (m Mismatch) Draw(s Surface, width, height float64) error {
	_, high := extent(false, pointsOf(m.Runs)...)
	if !math.IsNaN(m.Limit) {
		high = math.Max(high, m.Limit)
	}
	vertical := linearScale(1, math.Max(high*1.03, 2))
	if high > 20 {
		vertical = logScale(1, high)
	}
	vertical.low = 1
	for len(vertical.ticks) > 0 && vertical.ticks[0].value < 1 {
		vertical.ticks = vertical.ticks[1:]
	}
	return drawRuns(s, width, height, axes{frequencies: m.Frequencies, vertical: vertical, title: "VSWR"},
		m.Runs, m.Limit, "greatest VSWR")
}

// drawRuns draws the curves of runs and, where it is defined, a level that they
// are seen against.
func drawRuns(s Surface, width, height float64, a axes, runs []Series, level float64, levelName string) error {
	for i, run := range runs {
		a.legend = append(a.legend, runEntry(i, run.Label))
	}
	if !math.IsNaN(level) {
		a.legend = append(a.legend, lineEntry(levelName, limitLine))
	}
	frame, err := newFrame(s, width, height, a, nil)
	if err != nil {
		return err
	}
	if !math.IsNaN(level) {
		if err := frame.level(level, limitLine); err != nil {
			return err
		}
	}
	for i, run := range runs {
		if err := frame.run(i, run.Points); err != nil {
			return err
		}
	}
	return nil
}
