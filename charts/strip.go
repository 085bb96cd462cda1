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

// StripBand is one cell: its range, its steps ascending, and its holes. A hole
// that is accepted is half filled, as a step is.
type StripBand struct {
	Range Range
	Steps []StripStep
	Holes []Range
	// Accepted are the holes of Holes that a deviation accepts.
	Accepted []Range
}

// StripStep is one step and its state.
type StripStep struct {
	Frequency float64
	State     Proof
	Within    Range // the part of the band that it stands for a piece of; of itself alone where only it is asked for; the whole band where not set
}

// measures are those of the strip, in points. Strips of many rows are finer.
type measures struct {
	band  float64 // height of a band
	drop  float64 // how far a step that is not met falls out
	pitch float64 // from row to row
}

func (s Strip) measures() measures {
	switch rows := len(s.Rows); {
	case rows <= 4:
		return measures{9, 5, 21}
	case rows <= 12:
		return measures{7, 3.5, 14}
	default:
		return measures{5, 2.5, 9.5}
	}
}

const (
	barLeast  = 0.35 // a hairline
	seenLeast = 1.2  // one missed step among thousands is still seen
)

// aloneLeast is the ratio from a step that is asked for by itself to the end of its bar.
const aloneLeast = 1.002

// Height is how high the strip is, in points.
func (s Strip) Height() float64 {
	return float64(len(s.Rows))*s.measures().pitch + 1 + axisBelow
}

// Draw draws the strip over the width; labels take the part at the left of the
// given width, in points, so that strip and figures can share one axis.
func (s Strip) Draw(surface Surface, width, labels float64) error {
	if err := (axes{frequencies: s.Frequencies, vertical: scale{low: 0, high: 1}}).validate(); err != nil {
		return err
	}
	left, right := labels, width-rightEdge
	x := func(f float64) float64 {
		return left + (right-left)*math.Log(f/s.Frequencies.From)/math.Log(s.Frequencies.To/s.Frequencies.From)
	}
	m := s.measures()
	y := s.Height() - 1
	for _, row := range s.Rows {
		y -= m.band
		surface.Text(0, y+m.band/2-labelSize*0.34, label, Ink, row.Label)
		for _, band := range row.Bands {
			band.draw(surface, m, x, y)
		}
		y -= m.pitch - m.band
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
func (b StripBand) draw(s Surface, m measures, x func(float64) float64, y float64) {
	from, to := x(b.Range.From), x(b.Range.To)
	open := Line{Width: 0.5, Dashes: []float64{1, 1.4}, Colour: Quiet}
	s.Stroke(rectangle(from, y, to-from, m.band), open)
	least := b.typical()
	bar := func(i int, thinnest float64) (left, width float64) {
		begin, end := b.share(i, least)
		left, width = x(begin), x(end)-x(begin)
		gap := 0.0
		if width > 3 { // a little paper between bars, where each can be seen by itself
			gap = 0.7
		}
		middle := left + width/2
		width = math.Max(width-gap, thinnest)
		return middle - width/2, width
	}
	for i, step := range b.Steps {
		if step.State == Met {
			left, width := bar(i, barLeast)
			s.Fill(rectangle(left, y, width, m.band), Accent)
		}
	}
	for _, hole := range b.Accepted {
		left, right := x(hole.From), x(hole.To)
		s.Fill(rectangle(left, y, math.Max(right-left, seenLeast), m.band/2), Accent)
	}
	for i, step := range b.Steps { // over their neighbours
		left, width := bar(i, seenLeast)
		switch step.State {
		case NotMet:
			s.Fill(rectangle(left, y+1.5, width, m.band-1.5), Paper)
			s.Fill(rectangle(left, y-m.drop, width, m.drop+1.5), Ink)
		case MetWithDeviations:
			s.Fill(rectangle(left, y, width, m.band), Paper)
			s.Fill(rectangle(left, y, width, m.band/2), Accent)
		}
	}
}

// share returns the part of the axis that a step speaks for: half way to its
// neighbours, but not into a hole nor out of the range. At the border of a hole
// it is at least the ratio of typical to both sides.
func (b StripBand) share(i int, least float64) (from, to float64) {
	f := b.Steps[i].Frequency
	from, to = b.Range.From, b.Range.To
	if i > 0 {
		from = math.Sqrt(f * b.Steps[i-1].Frequency)
	}
	if i+1 < len(b.Steps) {
		to = math.Sqrt(f * b.Steps[i+1].Frequency)
	}
	if within := b.Steps[i].Within; within != (Range{}) {
		from, to = math.Max(from, within.From), math.Min(to, within.To)
		if within.From == within.To {
			least = aloneLeast
		}
	}
	for _, hole := range b.Holes {
		if hole.To <= f*(1+1e-9) {
			from = math.Max(from, hole.To)
		}
		if hole.From >= f*(1-1e-9) {
			to = math.Min(to, hole.From)
		}
	}
	from, to = math.Min(from, f/least), math.Max(to, f*least)
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
