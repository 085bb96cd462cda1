package pdf

import (
	"fmt"
	"math"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// cellFigures is what is drawn of a cell.
type cellFigures struct {
	margin       charts.Margin
	field        charts.Field
	fieldCaption string
	further      []captioned
}

type captioned struct {
	caption string
	draw    func(charts.Surface, float64, float64) error
}

// figures makes the figures of a cell from its visits.
func (b *book) figures(c *report.Cell) cellFigures {
	var f cellFigures
	frequencies := drawable(charts.Range{From: float64(c.From), To: float64(c.To)})
	curves := b.report.Curves(c)
	f.field = charts.Field{Frequencies: frequencies, Runs: series(curves, func(v *report.Visit) float64 { return float64(v.Sustained) })}
	f.margin = b.margin(c, curves)
	b.levels(c, &f.field)
	b.markSteps(c, &f.field)
	f.fieldCaption = b.fieldCaption(c)
	if len(c.Steps) == 0 {
		return f
	}
	forward := series(curves, func(v *report.Visit) float64 { return float64(v.Power.Forward) })
	reflected := series(curves, func(v *report.Visit) float64 { return float64(v.Power.Reflected) })
	if defined(forward) {
		p := charts.Power{Frequencies: frequencies, Forward: forward, Reflected: whereDefined(reflected), Rated: float64(b.report.LeastRating(c))}
		f.further = append(f.further, captioned{b.powerCaption(c), p.Draw})
	}
	vswr := series(curves, func(v *report.Visit) float64 { return float64(v.Power.VSWR) })
	if defined(vswr) {
		m := charts.Mismatch{Frequencies: frequencies, Runs: vswr, Limit: float64(b.report.Sheet.Requirement.MismatchLimit)}
		f.further = append(f.further, captioned{b.mismatchCaption(c), m.Draw})
	}
	held := charts.Dwell{Frequencies: frequencies, Required: b.report.Requirement.Required().Seconds(),
		Runs: series(curves, func(v *report.Visit) float64 { return float64(v.Held) })}
	f.further = append(f.further, captioned{b.dwellCaption(c), held.Draw})
	perRootWatt := series(curves, func(v *report.Visit) float64 { return v.Power.PerRootWatt })
	if defined(perRootWatt) {
		t := charts.Transfer{Frequencies: frequencies, Runs: perRootWatt}
		f.further = append(f.further, captioned{transferCaption, t.Draw})
	}
	return f
}

const transferCaption = "Field that one watt gives, by the square root of the forward power. A smooth curve says that nothing changed " +
	"between steps; a step or a notch points at a cable, a tuning or the place of the probe."

// series makes a curve of each run, interrupted between its pieces.
func series(curves []report.Curve, figure func(*report.Visit) float64) []charts.Series {
	all := make([]charts.Series, len(curves))
	for k, curve := range curves {
		all[k].Label = clean(curve.Run)
		for i, piece := range curve.Pieces {
			if n := len(all[k].Points); i > 0 {
				all[k].Points = append(all[k].Points, charts.Point{X: all[k].Points[n-1].X, Y: math.NaN()})
			}
			for _, v := range piece {
				all[k].Points = append(all[k].Points, charts.Point{X: float64(v.Frequency()), Y: figure(v)})
			}
		}
	}
	return all
}

// defined reports whether any curve has a point.
func defined(all []charts.Series) bool {
	for _, s := range whereDefined(all) {
		if len(s.Points) > 0 {
			return true
		}
	}
	return false
}

// whereDefined empties the curves that have no defined point at all.
func whereDefined(all []charts.Series) []charts.Series {
	kept := append([]charts.Series(nil), all...)
	for k := range kept {
		any := false
		for _, p := range kept[k].Points {
			any = any || !math.IsNaN(p.Y)
		}
		if !any {
			kept[k].Points = nil
		}
	}
	return kept
}

// levels sets limit, lowest and highest level of a cell over frequency.
func (b *book) levels(c *report.Cell, f *charts.Field) {
	q := b.report.Requirement
	for _, piece := range b.report.LimitIn(c) {
		f.Limit = append(f.Limit, slope(piece, 0))
		if q.ToleranceLow < 0 {
			f.Lowest = append(f.Lowest, slope(piece, q.ToleranceLow))
		}
		if quantity.Defined(q.ToleranceHigh) {
			f.Highest = append(f.Highest, slope(piece, q.ToleranceHigh))
		}
	}
}

// slope is a piece of the limit, moved by some decibels. What is straight in decibels
// over the logarithm of frequency is bent on a linear axis, so that it takes many
// points.
func slope(piece report.LimitPiece, by quantity.Decibel) []charts.Point {
	n := 64
	if piece.Flat() {
		n = 1
	}
	from, to := piece.From, piece.To
	if from == to { // the limit at one frequency is a short stroke
		const half = 1.002
		from, to = from/half, to*half
	}
	points := make([]charts.Point, n+1)
	for k := range points {
		f := from * quantity.Frequency(math.Pow(float64(to/from), float64(k)/float64(n)))
		if k == n {
			f = to
		}
		points[k] = charts.Point{X: float64(f), Y: float64(piece.At(f).Plus(by))}
	}
	return points
}

// markSteps marks what is not met, not shown, accepted or was repeated.
func (b *book) markSteps(c *report.Cell, f *charts.Field) {
	for _, failure := range b.report.Failures(c) {
		at := charts.Point{X: float64(failure.Step.Frequency), Y: float64(failure.Level)}
		switch {
		case failure.Overcome():
			f.Earlier = append(f.Earlier, charts.Point{X: float64(failure.Visit.Frequency()), Y: at.Y})
		case failure.Step.State == report.MetWithDeviations:
			f.Accepted = append(f.Accepted, at)
		default:
			f.Unmet = append(f.Unmet, at)
		}
	}
	for _, step := range c.StepsNotShown() {
		f.NotShown = append(f.NotShown, charts.Point{X: float64(step.Frequency), Y: float64(step.Level)})
	}
	f.Holes, f.AcceptedHoles = holes(c)
}

// holes parts the holes of a cell into those that are open and those that a
// deviation accepts.
func holes(c *report.Cell) (open, accepted []charts.Range) {
	for _, h := range c.Holes {
		hole := charts.Range{From: float64(h.From), To: float64(h.To)}
		if h.Accepted {
			accepted = append(accepted, hole)
		} else {
			open = append(open, hole)
		}
	}
	return open, accepted
}

func (b *book) fieldCaption(c *report.Cell) string {
	e := c.Statistics.LeastMargin
	text := "Field held for the required dwell at each step, against the level that it has to reach."
	switch {
	case math.IsNaN(e.Value):
	case e.Value < 0:
		text += fmt.Sprintf(" It falls short of the lowest acceptable level most at %s, with a margin of %s.",
			frequency(e.Frequency), withUnit(b.marginText(e), "dB"))
	default:
		text += fmt.Sprintf(" It is closest to the lowest acceptable level at %s, with a margin of %s.",
			frequency(e.Frequency), withUnit(b.marginText(e), "dB"))
	}
	return text
}

func (b *book) powerCaption(c *report.Cell) string {
	text := "Forward power, with symbols, and reflected power, thin, at each step."
	if e := c.Statistics.GreatestForward; !math.IsNaN(e.Value) {
		text += fmt.Sprintf(" Of the deciding visits, the one at %s needed most: %s.", frequency(e.Frequency), withUnit(power(quantity.Power(e.Value)), "W"))
	}
	return text
}

func (b *book) mismatchCaption(c *report.Cell) string {
	text := "Mismatch at the antenna. At a VSWR of 2 the antenna returns 11\u00a0% of the power."
	if e := c.Statistics.GreatestVSWR; !math.IsNaN(e.Value) {
		text += fmt.Sprintf(" Of the deciding visits it is greatest at %s: %s.", frequency(e.Frequency), fixedPoint(e.Value, 2))
	}
	return text
}

func (b *book) dwellCaption(c *report.Cell) string {
	text := "Longest time without a break at or above the lowest acceptable level."
	if e := c.Statistics.LeastHeld; !math.IsNaN(e.Value) {
		required := b.report.Requirement.Required()
		text += fmt.Sprintf(" Required are %s; of the deciding visits it was shortest at %s: %s.", seconds(required),
			frequency(e.Frequency), withUnit(heldText(e.Value, required), "s"))
	}
	return text
}
