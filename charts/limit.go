package charts

// Limit is the level that a requirement asks for over frequency: one series for
// each polarization, or one for both. The pieces of a series are cut by a point
// whose Y is NaN.
type Limit struct {
	Frequencies Range
	Levels      []Series
}

// Draw draws the figure, width by height points.
func (l Limit) Draw(s Surface, width, height float64) error {
	low, high := extent(true, pointsOf(l.Levels)...)
	if low > high {
		low, high = 1, 10
	}
	vertical := logScale(low/1.3, high*1.3)
	if high/low < 6 {
		vertical = linearScale(0, high*1.15)
	}
	a := axes{frequencies: l.Frequencies, vertical: vertical, title: "Limit, V/m"}
	for i, level := range l.Levels {
		a.legend = append(a.legend, lineEntry(level.Label, levelLine(i)))
	}
	frame, err := newFrame(s, width, height, a, nil)
	if err != nil {
		return err
	}
	for i, level := range l.Levels {
		if err := frame.line(level.Points, levelLine(i)); err != nil {
			return err
		}
	}
	return nil
}

func levelLine(index int) Line {
	line := limitLine
	line.Dashes = lookOf(index).dashes
	return line
}
