package charts

import (
	"fmt"
	"math"
	"strconv"
)

// Timeline is the course of one day of a test over its hours: a row for each run
// with a bar for each time at work, and what happened beside them.
type Timeline struct {
	From, To float64 // hours of the day
	Rows     []TimelineRow
	Marks    []TimelineMark
}

// TimelineRow is one run.
type TimelineRow struct {
	Label string
	Bars  [][2]float64 // from and to, hours of the day, ascending
}

// TimelineMark is what happened at one time. Its label stands at the head of a line
// through all rows; one that parts the test in two has a heavy line.
type TimelineMark struct {
	At    float64
	Label string
	Parts bool
}

// The measures of a time line, in points.
const (
	timelineRow  = 13
	timelineBar  = 7
	timelineHead = 14 // for the labels of the marks
)

// Height is how high the time line is, in points.
func (t Timeline) Height() float64 {
	return timelineHead + float64(len(t.Rows))*timelineRow + axisBelow + 2
}

// hourSteps are the distances of ticks, in hours.
var hourSteps = []float64{1. / 12, 0.25, 0.5, 1, 2, 3, 6}

// Draw draws the time line over the width; labels take the part at the left.
func (t Timeline) Draw(s Surface, width, labels float64) error {
	if !(t.To > t.From) || math.IsInf(t.To-t.From, 0) {
		return fmt.Errorf("a time line cannot be drawn from %g h to %g h", t.From, t.To)
	}
	left, right := labels, width-rightEdge
	x := func(hour float64) float64 { return left + (right-left)*(hour-t.From)/(t.To-t.From) }
	top, bottom := t.Height()-timelineHead, float64(axisBelow)
	for i, row := range t.Rows {
		y := top - float64(i+1)*timelineRow + (timelineRow-timelineBar)/2
		s.Text(0, y+timelineBar/2-labelSize*0.34, label, Ink, row.Label)
		for _, bar := range row.Bars {
			s.Fill(rectangle(x(bar[0]), y, math.Max(x(bar[1])-x(bar[0]), barLeast), timelineBar), Accent)
		}
	}
	t.axis(s, x, left, right, bottom)
	t.marks(s, x, top, bottom, right)
	return nil
}

// marks draws what happened. Labels that would run into each other, or over the
// right end, move aside; where there is no room for all of them only the lines stand.
func (t Timeline) marks(s Surface, x func(float64) float64, top, bottom, right float64) {
	from := make([]float64, len(t.Marks))
	behind := 0.0
	for i, mark := range t.Marks {
		line := Line{Width: 0.6, Dashes: []float64{2, 1.5}, Colour: Ink}
		if mark.Parts {
			line = Line{Width: 1.4, Colour: Ink}
		}
		s.Stroke(straight(x(mark.At), bottom, x(mark.At), top+2), line)
		wide := s.Width(label, mark.Label)
		from[i] = math.Max(x(mark.At)-wide/2, behind)
		behind = from[i] + wide + 2
	}
	for i := len(t.Marks) - 1; i >= 0; i-- {
		from[i] = math.Min(from[i], right-s.Width(label, t.Marks[i].Label))
		right = from[i] - 2
	}
	if len(from) == 0 || from[0] < 0 {
		return
	}
	for i, mark := range t.Marks {
		s.Text(from[i], top+4, label, Ink, mark.Label)
	}
}

func (t Timeline) axis(s Surface, x func(float64) float64, left, right, bottom float64) {
	line := Line{Width: 0.5, Colour: Quiet}
	s.Stroke(straight(left, bottom, right, bottom), line)
	step := hourSteps[len(hourSteps)-1]
	for i := len(hourSteps) - 1; i >= 0; i-- {
		if (right-left)*hourSteps[i]/(t.To-t.From) >= s.Width(label, "00:00")+10 {
			step = hourSteps[i]
		}
	}
	for k := math.Ceil(t.From/step - 1e-9); k*step <= t.To+1e-9; k++ {
		hour := k * step
		minutes := int(math.Round(hour * 60))
		text := twoDigits(minutes/60%24) + ":" + twoDigits(minutes%60)
		s.Stroke(straight(x(hour), bottom, x(hour), bottom-3.5), line)
		from := math.Min(math.Max(x(hour)-s.Width(label, text)/2, left), right-s.Width(label, text))
		s.Text(from, bottom-labelSize-4, label, Quiet, text)
	}
}

func twoDigits(n int) string {
	if n < 10 {
		return "0" + strconv.Itoa(n)
	}
	return strconv.Itoa(n)
}
