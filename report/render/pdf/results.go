package pdf

import (
	"fmt"
	"math"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// results sets, for each cell, how much of the proof is there.
func (b *book) results() {
	b.section("8", "Results", "results")
	if len(b.report.Cells) == 0 {
		b.Paragraph("The requirement asks for nothing that this day could show.")
		return
	}
	const intro = 75 // with the head of the first cell
	b.Reserve(intro + b.cellHeight(&b.report.Cells[0]))
	b.Paragraph("One part for each cell: a contiguous required range with one polarization at one antenna position. " +
		"The frequency axes of its figures stand above each other.")
	for i := range b.report.Cells {
		b.cell(i)
	}
}

// cell sets the results of one cell.
func (b *book) cell(i int) {
	c := &b.report.Cells[i]
	b.part(cellName(c), cellAnchor(i), true)
	b.Reserve(b.cellHeight(c)) // head, strip and field belong together
	b.cellState(c)
	b.cellStrip(i)
	figures := b.figures(c)
	if len(c.Steps) == 0 {
		b.Paragraph("No run serves this cell, so there is nothing to draw.")
	} else {
		b.Figure(mainFigure, mainFigure, b.marginCaption(c), "Margin over frequency. "+b.cellWords(c), figures.margin.Draw)
		b.statistics(c)
		b.Figure(figureHigh, figureHigh, figures.fieldCaption, cellName(c)+". "+figures.fieldCaption, figures.field.Draw)
	}
	for _, p := range figures.further {
		b.Figure(figureHigh, figureHigh, p.caption, cellName(c)+". "+p.caption, p.draw)
	}
	b.cellFindings(c)
}

// The heights of figures, in points. They are the same in every cell, so that the
// figures of polarizations and positions compare.
const (
	mainFigure = 220
	figureHigh = 184
)

// cellHeight is what the state, the strip and the field of a cell take at least.
func (b *book) cellHeight(c *report.Cell) float64 {
	const strip, line = 48, 15.7
	if len(c.Steps) == 0 {
		return strip + 2*line
	}
	return strip + mainFigure + 3*line
}

// cellState says the state of a cell in a line.
func (b *book) cellState(c *report.Cell) {
	b.Reserve(layout.BodyStyle.Leading + 60)
	b.Mark(proof(c.State), b.Format.Left(), b.Y+layout.BodyStyle.Size*1.05, 7)
	text := fmt.Sprintf("%s. %d of %s met", capital(c.State.String()), c.StepsMet, plural(len(c.Steps), "step"))
	if n := len(c.Holes); n > 0 {
		text += ", " + plural(n, "hole") + " in the range"
	}
	runs := make([]string, len(c.Runs))
	for k, index := range c.Runs {
		runs[k] = b.report.Runs[index].ID
	}
	text += "; runs: " + orNone(list(", ", runs...)) + "."
	b.Lines(layout.BodyStyle, text, 12, 6)
}

// cellWords says what the strip and the margin of a cell show, for those who do not see
// them: "Horizontal, position 1, 30 – 200 MHz: met, 382 of 382 steps met, least margin
// 0.36 dB at 63.607 MHz."
func (b *book) cellWords(c *report.Cell) string {
	text := fmt.Sprintf("%s: %s, %d of %s met", cellName(c), c.State, c.StepsMet, plural(len(c.Steps), "step"))
	if n := len(c.Holes); n > 0 {
		text += ", " + plural(n, "hole") + " in the range"
	}
	if n := c.Statistics.NoLevel; n > 0 {
		return text + ", " + plural(n, "step") + " without a level."
	}
	if e := c.LeastMargin(); !math.IsNaN(e.Value) {
		text += fmt.Sprintf(", least margin %s at %s", withUnit(b.marginText(e), "dB"), frequency(e.Frequency))
	}
	return text + "."
}

// cellStrip sets the strip of the cell, on the axis of the figures below it.
func (b *book) cellStrip(i int) {
	s := strip(b.report, []int{i})
	s.Rows[0].Label = ""
	height := s.Height()
	b.Reserve(height)
	b.Draw(height, b.cellWords(&b.report.Cells[i]), func(on charts.Surface) error { return s.Draw(on, b.Format.Measure(), charts.Gutter) })
	b.Y += 8
}

// statistics sets the figures of a cell over its deciding visits.
func (b *book) statistics(c *report.Cell) {
	if len(c.Steps) == 0 {
		return
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Over the deciding visits", Wraps: true}, {Head: "", Align: layout.Decimal}, {Head: "Unit"}, {Head: "at", Align: layout.Right},
		{Head: "Run", Align: layout.Right},
	}}
	add := func(name, value, unit string, e report.Extreme) {
		if value == undefined {
			unit = ""
		}
		t.Add(layout.Texts(name, value, unit, frequency(e.Frequency), orNone(e.Run)))
	}
	s := c.Statistics
	if n := s.NoLevel; n > 0 {
		t.Add(layout.Texts("steps that held no level for the required dwell; the margins are those of the others", fmt.Sprint(n), "", "", ""))
	}
	add("least margin over the lowest acceptable level", b.marginText(s.LeastMargin), "dB", s.LeastMargin)
	add("median margin", b.marginText(s.MedianMargin), "dB", s.MedianMargin)
	add("greatest margin", b.marginText(s.GreatestMargin), "dB", s.GreatestMargin)
	add("shortest held dwell", heldText(s.LeastHeld.Value, b.report.Requirement.Required()), "s", s.LeastHeld)
	add("greatest VSWR", fixedPoint(s.GreatestVSWR.Value, 2), "", s.GreatestVSWR)
	add("greatest forward power", power(quantity.Power(s.GreatestForward.Value)), "W", s.GreatestForward)
	if quantity.Defined(s.Headroom) {
		t.Add(layout.Texts("headroom to the rated forward power", fixedPoint(float64(s.Headroom), 1), "dB", frequency(s.GreatestForward.Frequency), s.GreatestForward.Run))
	}
	if !math.IsNaN(s.Risk) {
		t.Add(layout.Texts("risk that the field was too low, at the least margin", fixedPoint(100*s.Risk, 1), "%", frequency(s.LeastMargin.Frequency), s.LeastMargin.Run))
	}
	b.Table(t)
}

// cellFindings sets the findings that act on a cell.
func (b *book) cellFindings(c *report.Cell) {
	b.Heading(layout.Heading{Level: 3, Text: "Findings"})
	if len(c.Findings) == 0 {
		b.Paragraph("None.")
		return
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "No."}, {Head: "Check"}, {Head: "Frequency", Wraps: true}, {Head: "What was found", Wraps: true},
		{Head: "Evidence", Wraps: true}, {Head: "State"},
	}}
	heads := b.report.GroupHeads()
	groups := b.report.GroupFindings(c.Findings)
	for i := range groups {
		g := &groups[i]
		f := &b.report.Findings[g.First()]
		t.Add(layout.Row{Cells: []layout.Cell{
			{Text: g.Name(), Link: findingAnchor(heads[g.First()])}, {Text: f.Check}, {Text: frequencies(g.From, g.To), Link: visitAnchor(f.Visit)},
			{Text: layout.JoinUnits(list("\n", groupText(f, g), b.followingText(g)))}, {Text: evidenceText(g.Evidence)}, {Text: string(f.State), Bold: f.State == report.Open},
		}})
	}
	b.Table(t)
}
