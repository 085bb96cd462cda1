package pdf

import (
	"fmt"
	"math"
	"slices"

	"fieldheld/charts"
	"fieldheld/report"
)

// margin makes the figure of the margin over the acceptance level of a cell.
func (b *book) margin(c *report.Cell, runs []runVisits) charts.Margin {
	q, least := b.report.Requirement, b.leastMargin()
	m := charts.Margin{
		Frequencies: drawable(charts.Range{From: float64(c.From), To: float64(c.To)}), Axis: b.marginAxis(),
		Limit: -float64(q.ToleranceLow) - least, Lowest: -least, Uncertainty: math.NaN(),
	}
	if b.report.Budget != nil {
		m.Uncertainty = float64(b.report.Budget.Expanded)
	}
	m.Runs = b.series(c, runs, func(v *report.Visit) float64 {
		if v.State != report.Met {
			return math.NaN() // it stands in the lane
		}
		return float64(v.Margin) - least
	})
	m.Failed, m.Thresholds = b.failures(c), b.thresholds(c)
	m.Holes, m.Accepted = holes(c)
	return m
}

// marginAxis is the range of the margins of all steps that are met, in every
// cell, so that the figures of one report compare. From is above To without any.
func (b *book) marginAxis() charts.Range {
	axis := charts.Range{From: math.Inf(1), To: math.Inf(-1)}
	for i := range b.report.Cells {
		for k := range b.report.Cells[i].Steps {
			step := &b.report.Cells[i].Steps[k]
			if step.State != report.Met || step.Best == nil {
				continue
			}
			margin := float64(step.Best.Margin) - b.leastMargin()
			if math.IsNaN(margin) || math.IsInf(margin, 0) {
				continue
			}
			axis.From, axis.To = min(axis.From, margin), max(axis.To, margin)
		}
	}
	return axis
}

// failures are the steps of a cell that are not met, and the visits that failed
// at steps that are.
func (b *book) failures(c *report.Cell) []charts.Failure {
	var list []charts.Failure
	add := func(v *report.Visit, state report.State) {
		list = append(list, charts.Failure{State: proof(state),
			Point: charts.Point{X: float64(v.Frequency()), Y: float64(v.Margin) - b.leastMargin()}})
	}
	for i := range c.Steps {
		step := &c.Steps[i]
		if step.State == report.NotMet || step.State == report.MetWithDeviations {
			add(step.Best, step.State)
			continue
		}
		for _, v := range step.Visits {
			if v != step.Best && v.State == report.NotMet && step.State == report.Met {
				add(v, report.Met)
			}
		}
	}
	return list
}

// thresholds are the events of a cell whose threshold can be compared with the
// limit.
func (b *book) thresholds(c *report.Cell) []charts.Labelled {
	var list []charts.Labelled
	for i := range b.report.Events {
		e := &b.report.Events[i]
		if comparison := e.Comparison(); comparison != report.BelowLimit && comparison != report.NotBelowLimit || !b.concerns(e, c) {
			continue
		}
		over := e.Threshold.Over(e.Limit.Plus(b.report.Requirement.ToleranceLow))
		list = append(list, charts.Labelled{Label: exact(float64(e.Threshold)) + " V/m",
			Point: charts.Point{X: float64(e.Frequency), Y: float64(over) - b.leastMargin()}})
	}
	return list
}

// marginCaption says what to see in the figure of the margin.
func (b *book) marginCaption(c *report.Cell) string {
	text := "Margin of the sustained field over the acceptance level, 0 dB: the lowest acceptable level"
	if least := b.leastMargin(); least > 0 {
		text += fmt.Sprintf(" and the guard band of %s", withUnit(given(least, 2), "dB"))
	}
	text += "."
	if n := c.Statistics.NoLevel; n > 0 {
		text += fmt.Sprintf(" %s no level.", capital(fmt.Sprintf("%s held", plural(n, "step"))))
	} else if e := c.Statistics.LeastMargin; !math.IsNaN(e.Value) {
		text += fmt.Sprintf(" The least margin over the lowest acceptable level is %s, at %s.", withUnit(b.marginText(e), "dB"), frequency(e.Frequency))
	}
	failures := b.failures(c)
	if len(failures) > 0 {
		text += " Below the axis stand the visits that failed, with their margins in dB: a cross where the step was repeated and met, the mark of the step where it was not."
	}
	if slices.ContainsFunc(failures, func(f charts.Failure) bool { return f.Y >= 0 }) {
		text += " A value of 0 dB or more failed by another check than level."
	}
	if b.report.Budget != nil {
		text += " The band is ± U about the lowest acceptable level."
	}
	return text
}
