package charts

import (
	"math"
)

// Strip shows how much of the proof is there: a band for each cell over one
// common logarithmic axis, a bar for each step. A step that is met fills the
// band, one that is not met falls out below it, one that is not shown leaves it
// open.
type Strip struct {
	Frequencies Range
	Rows        []StripRow
}

// StripRow holds the bands of one polarization and position.
type StripRow struct {
	Label string
	Bands []StripBand
}

// StripBand is one cell: its range, its steps ascending, and its holes.
type StripBand struct {
	Range Range
	Steps []StripStep
	Holes []Range
}

// StripStep is one step and its state.
type StripStep struct {
	Frequency float64
	State     Proof
}

// The measures of the strip, in points.
const (
	bandHeight = 9.0
	bandDrop   = 5.0 // how far a step that is not met falls out
	rowPitch   = 21.0
	barLeast   = 0.35 // a hairline
)

// Height is how high the strip is, in points, with or without its axis.
func (s Strip) Height(axis bool) float64 {
	height := float64(len(s.Rows))*rowPitch + 1
	if axis {
		height += axisBelow
	}
	return height
}

// Draw draws the strip over the width; labels take the part at the left of the
// given width, in points, so that strip and figures can share one axis.
func (s Strip) Draw(surface Surface, width, labels float64, axis bool) error {
	if err := (axes{frequencies: s.Frequencies, vertical: scale{low: 0, high: 1}}).validate(); err != nil {
		return err
	}
	left, right := labels, width-rightEdge
	x := func(f float64) float64 {
		return left + (right-left)*math.Log(f/s.Frequencies.From)/math.Log(s.Frequencies.To/s.Frequencies.From)
	}
	y := s.Height(axis) - 1
	for _, row := range s.Rows {
		y -= bandHeight
		surface.Text(0, y+bandHeight/2-labelSize*0.34, label, Ink, row.Label)
		for _, band := range row.Bands {
			band.draw(surface, x, y)
		}
		y -= rowPitch - bandHeight
	}
	if !axis {
		return nil
	}
	bottom := float64(axisBelow)
	line := Line{Width: 0.5, Colour: Quiet}
	surface.Stroke(straight(left, bottom, right, bottom), line)
	measure := func(text string) float64 { return surface.Width(label, text) }
	for _, t := range frequencyTicks(s.Frequencies, right-left, measure) {
		length := 2.0
		if t.label != "" {
			length = 3.5
			from := math.Min(math.Max(x(t.value)-measure(t.label)/2, left), right-measure(t.label))
			surface.Text(from, bottom-labelSize-4, label, Quiet, t.label)
		}
		surface.Stroke(straight(x(t.value), bottom, x(t.value), bottom-length), line)
	}
	return nil
}

// draw draws the band whose lower edge is at y.
func (b StripBand) draw(s Surface, x func(float64) float64, y float64) {
	from, to := x(b.Range.From), x(b.Range.To)
	open := Line{Width: 0.5, Dashes: []float64{1, 1.4}, Colour: Quiet}
	s.Stroke(rectangle(from, y, to-from, bandHeight), open)
	bar := func(i int, least float64) (left, width float64) {
		begin, end := b.share(i)
		left, width = x(begin), x(end)-x(begin)
		gap := math.Min(0.5, 0.25*width) // a little paper between bars, so that each is seen
		middle := left + width/2
		width = math.Max(width-gap, least)
		return middle - width/2, width
	}
	for i, step := range b.Steps {
		left, width := bar(i, barLeast)
		switch step.State {
		case Met:
			s.Fill(rectangle(left, y, width, bandHeight), Accent)
		case MetWithDeviations:
			s.Fill(rectangle(left, y, width, bandHeight/2), Accent)
		}
	}
	for i, step := range b.Steps { // over their neighbours: one missed step among thousands is still seen
		if step.State == NotMet {
			left, width := bar(i, 1.2)
			s.Fill(rectangle(left, y+1.5, width, bandHeight-1.5), Paper)
			s.Fill(rectangle(left, y-bandDrop, width, bandDrop+1.5), Ink)
		}
	}
}

// share returns the part of the axis that a step speaks for: half way to its
// neighbours, but not into a hole nor out of the range.
func (b StripBand) share(i int) (from, to float64) {
	f := b.Steps[i].Frequency
	from, to = b.Range.From, b.Range.To
	if i > 0 {
		from = math.Sqrt(f * b.Steps[i-1].Frequency)
	}
	if i+1 < len(b.Steps) {
		to = math.Sqrt(f * b.Steps[i+1].Frequency)
	}
	for _, hole := range b.Holes {
		if hole.To <= f*(1+1e-9) {
			from = math.Max(from, hole.To)
		}
		if hole.From >= f*(1-1e-9) {
			to = math.Min(to, hole.From)
		}
	}
	width := b.typical()
	if from > f/width { // at the border of a hole the bar stays centred on its step
		from = f / width
	}
	if to < f*width {
		to = f * width
	}
	return math.Max(from, b.Range.From), math.Min(to, b.Range.To)
}

// typical is the ratio from a step to the middle between it and the next, at the
// closest pair: no bar is drawn narrower.
func (b StripBand) typical() float64 {
	least := math.Inf(1)
	for i := 1; i < len(b.Steps); i++ {
		least = math.Min(least, b.Steps[i].Frequency/b.Steps[i-1].Frequency)
	}
	if math.IsInf(least, 1) {
		return 1.002
	}
	return math.Sqrt(least)
}
