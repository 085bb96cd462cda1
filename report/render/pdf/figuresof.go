package pdf

import (
	"fmt"
	"math"
	"slices"
	"sort"

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
	runs := b.visitsByRun(c)
	f.field = charts.Field{Frequencies: frequencies, Runs: b.series(c, runs, func(v *report.Visit) float64 { return float64(v.Sustained) })}
	f.margin = b.margin(c, runs)
	b.levels(c, &f.field)
	b.markSteps(c, &f.field)
	f.fieldCaption = b.fieldCaption(c)
	if len(c.Steps) == 0 {
		return f
	}
	forward := b.series(c, runs, func(v *report.Visit) float64 { return float64(v.Power.Forward) })
	reflected := b.series(c, runs, func(v *report.Visit) float64 { return float64(v.Power.Reflected) })
	if defined(forward) {
		p := charts.Power{Frequencies: frequencies, Forward: forward, Reflected: whereDefined(reflected), Rated: b.rated(c)}
		f.further = append(f.further, captioned{b.powerCaption(c), p.Draw})
	}
	vswr := b.series(c, runs, func(v *report.Visit) float64 { return float64(v.Power.VSWR) })
	if defined(vswr) {
		m := charts.Mismatch{Frequencies: frequencies, Runs: vswr, Limit: float64(b.report.Sheet.Requirement.MismatchLimit)}
		f.further = append(f.further, captioned{b.mismatchCaption(c), m.Draw})
	}
	held := charts.Dwell{Frequencies: frequencies, Required: b.report.Requirement.Required().Seconds(),
		Runs: b.series(c, runs, func(v *report.Visit) float64 { return float64(v.Held) })}
	f.further = append(f.further, captioned{b.dwellCaption(c), held.Draw})
	perRootWatt := b.series(c, runs, func(v *report.Visit) float64 { return v.Power.PerRootWatt })
	if defined(perRootWatt) {
		t := charts.Transfer{Frequencies: frequencies, Runs: perRootWatt}
		f.further = append(f.further, captioned{transferCaption, t.Draw})
	}
	return f
}

const transferCaption = "Field that one watt gives, by the square root of the forward power. A smooth curve says that nothing changed " +
	"between steps; a step or a notch points at a cable, a tuning or the place of the probe."

// runVisits is the visits of one run in a cell, one for each step.
type runVisits struct {
	id     string
	visits []*report.Visit
}

// visitsByRun picks from each step the best visit of each run, by state and then
// by sustained field. Of a step that is met it takes the visit that meets it
// alone: failed ones are marked beside the curve, and stand in the tables.
func (b *book) visitsByRun(c *report.Cell) []runVisits {
	place := map[int]int{}
	runs := make([]runVisits, len(c.Runs))
	for k, index := range c.Runs {
		runs[k].id = b.report.Runs[index].ID
		place[index] = k
	}
	for i := range c.Steps {
		step := &c.Steps[i]
		shown := step.Visits
		if step.State == report.Met && step.Best != nil {
			shown = []*report.Visit{step.Best}
		}
		best := map[int]*report.Visit{}
		for _, v := range shown {
			if now := best[v.Run]; now == nil || betterVisit(v, now) {
				best[v.Run] = v
			}
		}
		for index, v := range best {
			if k, serves := place[index]; serves {
				runs[k].visits = append(runs[k].visits, v)
			}
		}
	}
	return runs
}

// betterVisit reports whether a shows more than now.
func betterVisit(a, now *report.Visit) bool {
	if a.State != now.State {
		return a.State == report.Met || now.State == report.NotShown && a.State != report.NotShown
	}
	return a.Sustained > now.Sustained || !quantity.Defined(now.Sustained)
}

// series makes a curve of each run.
func (b *book) series(c *report.Cell, runs []runVisits, figure func(*report.Visit) float64) []charts.Series {
	all := make([]charts.Series, len(runs))
	for k, run := range runs {
		all[k].Label = clean(run.id)
		for _, v := range run.visits {
			all[k].Points = append(all[k].Points, charts.Point{X: float64(v.Frequency()), Y: figure(v)})
		}
		sort.SliceStable(all[k].Points, func(i, j int) bool { return all[k].Points[i].X < all[k].Points[j].X })
		all[k].Points = b.cut(c, all[k].Points)
	}
	return all
}

// cut interrupts a curve at the holes of the cell, and where the run itself left
// out more than a step or two, so that no line is drawn over what was not measured.
func (b *book) cut(c *report.Cell, points []charts.Point) []charts.Point {
	const steps = 2.5
	var kept []charts.Point
	for i, p := range points {
		if i > 0 {
			before := points[i-1].X
			if p.X > before*(1+steps*b.largestStep(before)) || hasHole(c, before, p.X) {
				kept = append(kept, charts.Point{X: before, Y: math.NaN()})
			}
		}
		kept = append(kept, p)
	}
	return kept
}

// hasHole reports whether a hole of the cell lies between two frequencies.
func hasHole(c *report.Cell, from, to float64) bool {
	for _, h := range c.Holes {
		if from <= float64(h.From)*(1+quantity.Slack) && to >= float64(h.To)*(1-quantity.Slack) {
			return true
		}
	}
	return false
}

// largestStep is the step that the requirement allows at a frequency, as a part
// of it; everything where it states none.
func (b *book) largestStep(hertz float64) float64 {
	largest := 0.0
	for _, s := range b.report.Requirement.Steps {
		if quantity.Frequency(hertz).Within(s.From, s.To) {
			largest = max(largest, float64(s.Max))
		}
	}
	if largest == 0 {
		return math.Inf(1)
	}
	return largest
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
	for _, l := range q.Limits {
		from, to := max(l.From, c.From), min(l.To, c.To)
		if l.Optional != "" || !slices.Contains(l.Polarizations, c.Polarization) || from > to {
			continue
		}
		piece := func(by quantity.Decibel) []charts.Point {
			return slope(l.From, l.To, l.LowLevel, l.HighLevel, from, to, by)
		}
		f.Limit = append(f.Limit, piece(0))
		if q.ToleranceLow < 0 {
			f.Lowest = append(f.Lowest, piece(q.ToleranceLow))
		}
		if quantity.Defined(q.ToleranceHigh) {
			f.Highest = append(f.Highest, piece(q.ToleranceHigh))
		}
	}
}

// slope is a segment of the limit from one frequency to another, moved by some
// decibels. What is straight in decibels over the logarithm of frequency is bent
// on a linear axis, so that it takes many points.
func slope(low, high quantity.Frequency, lowLevel, highLevel quantity.FieldStrength, from, to quantity.Frequency, by quantity.Decibel) []charts.Point {
	n := 1
	if lowLevel != highLevel {
		n = 64
	}
	points := make([]charts.Point, n+1)
	for k := range points {
		f := from * quantity.Frequency(math.Pow(float64(to/from), float64(k)/float64(n)))
		if k == n {
			f = to
		}
		points[k] = charts.Point{X: float64(f), Y: float64(levelAt(low, high, lowLevel, highLevel, f).Plus(by))}
	}
	return points
}

// levelAt is the level of a segment at f, straight in decibels over the
// logarithm of frequency. It is for drawing; verdicts have their limits from the
// evaluation.
func levelAt(from, to quantity.Frequency, low, high quantity.FieldStrength, f quantity.Frequency) quantity.FieldStrength {
	if low == high || to <= from {
		return low
	}
	return low.Between(high, f.LogPart(from, to))
}

// markSteps marks what is not met, not shown, accepted or was repeated.
func (b *book) markSteps(c *report.Cell, f *charts.Field) {
	for i := range c.Steps {
		step := &c.Steps[i]
		at := charts.Point{X: float64(step.Frequency), Y: math.NaN()}
		if step.Best != nil {
			at.Y = float64(step.Best.Sustained)
			if step.Best.Maximum > step.Best.Highest {
				at.Y = float64(step.Best.Maximum)
			}
		}
		switch step.State {
		case report.NotMet:
			f.Unmet = append(f.Unmet, at)
		case report.NotShown:
			f.NotShown = append(f.NotShown, at)
		case report.MetWithDeviations:
			f.Accepted = append(f.Accepted, at)
		}
		for _, v := range step.Visits {
			if v != step.Best && v.State == report.NotMet && step.State == report.Met {
				y := v.Sustained
				if !quantity.Defined(y) {
					y = v.Minimum
				}
				f.Earlier = append(f.Earlier, charts.Point{X: float64(v.Frequency()), Y: float64(y)})
			}
		}
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

// rated is the lowest rating of the runs of a cell; NaN where none is given.
func (b *book) rated(c *report.Cell) float64 {
	least := math.NaN()
	for _, index := range c.Runs {
		if rating := float64(b.report.Runs[index].Sheet.ForwardMax); !(rating >= least) && !math.IsNaN(rating) {
			least = rating
		}
	}
	return least
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
