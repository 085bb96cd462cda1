package pdf

import (
	"fmt"
	"math"
	"slices"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// margin makes the figure of the margin over the acceptance level of a cell.
func (b *book) margin(c *report.Cell, curves []report.Curve) charts.Margin {
	m := charts.Margin{
		Frequencies: drawable(charts.Range{From: float64(c.From), To: float64(c.To)}), Axis: b.marginAxis(),
		Limit:  float64(b.report.OverAcceptance(-b.report.Requirement.ToleranceLow)),
		Lowest: float64(b.report.OverAcceptance(0)), Uncertainty: math.NaN(),
	}
	if b.report.Budget != nil {
		m.Uncertainty = float64(b.report.Budget.Expanded)
	}
	m.Runs = series(curves, func(v *report.Visit) float64 {
		if v.State != report.Met {
			return math.NaN() // it stands in the lane
		}
		return float64(b.report.VisitOverAcceptance(v))
	})
	m.Failed, m.Thresholds = lane(b.report.Failures(c)), b.thresholds(c)
	m.Holes, m.Accepted = holes(c)
	return m
}

// marginAxis is the range of the margins of all steps that are met, in every
// cell, so that the figures of one report compare. From is above To without any.
func (b *book) marginAxis() charts.Range {
	least, greatest := b.report.MetMargins()
	if !quantity.Defined(least) {
		return charts.Range{From: math.Inf(1), To: math.Inf(-1)}
	}
	return charts.Range{From: float64(least), To: float64(greatest)}
}

// lane is what stands in the lane below the axis.
func lane(failures []report.Failure) []charts.Failure {
	list := make([]charts.Failure, len(failures))
	for i, f := range failures {
		list[i] = charts.Failure{State: proof(f.Step.State), Point: charts.Point{X: float64(f.Visit.Frequency()), Y: float64(f.Margin)}}
	}
	return list
}

// thresholds are the events of a cell whose threshold can be compared with the
// limit.
func (b *book) thresholds(c *report.Cell) []charts.Labelled {
	var list []charts.Labelled
	for _, e := range b.report.EventsIn(c) {
		if over := b.report.ThresholdMargin(e); quantity.Defined(over) {
			list = append(list, charts.Labelled{Label: exact(float64(e.Threshold)) + " V/m",
				Point: charts.Point{X: float64(e.Frequency), Y: float64(over)}})
		}
	}
	return list
}

// marginCaption says what to see in the figure of the margin.
func (b *book) marginCaption(c *report.Cell) string {
	text := "Margin of the sustained field over the acceptance level, 0 dB: the lowest acceptable level"
	if least := b.leastMargin(); least > 0 {
		guard := " and the guard band of %s"
		if len(b.report.Budgets) > 0 {
			guard = " and the guard band of each visit, of at most %s, for which the other levels are drawn"
		}
		text += fmt.Sprintf(guard, withUnit(given(least, 2), "dB"))
	}
	text += "."
	if n := c.Statistics.NoLevel; n > 0 {
		text += fmt.Sprintf(" %s no level.", capital(fmt.Sprintf("%s held", plural(n, "step"))))
	} else if e := c.Statistics.LeastMargin; !math.IsNaN(e.Value) {
		text += fmt.Sprintf(" The least margin over the lowest acceptable level is %s, at %s.", withUnit(b.marginText(e, b.report.AskedLeast(c)), "dB"), frequency(e.Frequency))
	}
	failures := b.report.Failures(c)
	if len(failures) > 0 {
		text += " Below the axis stand the visits that failed, with their margins in dB: a cross where the step was repeated and met, the mark of the step where it was not."
	}
	if slices.ContainsFunc(failures, func(f report.Failure) bool { return f.ByAnotherCheck() }) {
		text += " A value of 0 dB or more failed by another check than level."
	}
	if b.report.Budget != nil {
		of := ""
		if len(b.report.Budgets) > 0 {
			of = "the largest "
		}
		text += " The band is ± " + of + "U about the lowest acceptable level."
	}
	return text
}
