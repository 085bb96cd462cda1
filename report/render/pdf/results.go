package pdf

import (
	"fmt"
	"math"
	"slices"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
)

// results sets, for each cell, how much of the proof is there.
func (b *book) results() {
	b.section("8", "Results", "results")
	if len(b.report.Cells) == 0 {
		b.paragraph("The requirement asks for nothing that this day could show.")
		return
	}
	const intro = 75 // with the head of the first cell
	b.reserve(intro + b.cellHeight(&b.report.Cells[0]))
	b.paragraph("One part for each cell: a contiguous required range with one polarization at one antenna position. " +
		"The frequency axes of its figures stand above each other.")
	for i := range b.report.Cells {
		b.cell(i)
	}
}

// cell sets the results of one cell.
func (b *book) cell(i int) {
	c := &b.report.Cells[i]
	b.part(cellName(c), cellAnchor(i), true)
	b.reserve(b.cellHeight(c)) // head, strip and field belong together
	b.cellState(c)
	b.cellStrip(i)
	figures := b.figures(c)
	if len(c.Steps) == 0 {
		b.paragraph("No run serves this cell, so there is nothing to draw.")
	} else {
		b.plot(mainFigure, mainFigure, b.marginCaption(c), figures.margin.Draw)
		b.statistics(c)
		b.plot(figureHigh, figureHigh, figures.fieldCaption, figures.field.Draw)
	}
	for _, p := range figures.further {
		b.plot(figureHigh, figureHigh, p.caption, p.draw)
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
	b.reserve(textStyle.leading + 60)
	b.mark(proof(c.State), b.format.left(), b.y+textStyle.size*1.05, 7)
	text := fmt.Sprintf("%s. %d of %s met", capital(c.State.String()), c.StepsMet, plural(len(c.Steps), "step"))
	if n := len(c.Holes); n > 0 {
		text += ", " + plural(n, "hole") + " in the range"
	}
	runs := make([]string, len(c.Runs))
	for k, index := range c.Runs {
		runs[k] = b.report.Runs[index].ID
	}
	text += "; runs: " + orNone(list(", ", runs...)) + "."
	b.lines(textStyle, text, 12, 6)
}

// cellStrip sets the strip of the cell, on the axis of the figures below it.
func (b *book) cellStrip(i int) {
	s := strip(b.report, []int{i})
	s.Rows[0].Label = ""
	height := s.Height()
	b.reserve(height)
	err := b.figure(b.format.left(), b.y, height, func(on charts.Surface) error {
		return s.Draw(on, b.format.body(), charts.Gutter)
	})
	if err != nil && b.fault == nil {
		b.fault = err
	}
	b.y += height + 8
}

// statistics sets the figures of a cell over its deciding visits.
func (b *book) statistics(c *report.Cell) {
	if len(c.Steps) == 0 {
		return
	}
	t := &table{columns: []column{
		{head: "Over the deciding visits", wraps: true}, {head: "", align: decimal}, {head: "Unit"}, {head: "at", align: right},
		{head: "Run", align: right},
	}}
	add := func(name, value, unit string, e report.Extreme) {
		if value == undefined {
			unit = ""
		}
		t.add(texts(name, value, unit, frequency(e.Frequency), orNone(e.Run)))
	}
	s := c.Statistics
	if n := s.NoLevel; n > 0 {
		t.add(texts("steps that held no level for the required dwell; the margins are those of the others", fmt.Sprint(n), "", "", ""))
	}
	add("least margin over the lowest acceptable level", b.marginText(s.LeastMargin), "dB", s.LeastMargin)
	add("median margin", b.marginText(s.MedianMargin), "dB", s.MedianMargin)
	add("greatest margin", b.marginText(s.GreatestMargin), "dB", s.GreatestMargin)
	add("shortest held dwell", heldText(s.LeastHeld.Value, b.report.Requirement.Required()), "s", s.LeastHeld)
	add("greatest VSWR", fixedPoint(s.GreatestVSWR.Value, 2), "", s.GreatestVSWR)
	add("greatest forward power", power(quantity.Power(s.GreatestForward.Value)), "W", s.GreatestForward)
	if quantity.Defined(s.Headroom) {
		t.add(texts("headroom to the rated forward power", fixedPoint(float64(s.Headroom), 1), "dB", frequency(s.GreatestForward.Frequency), s.GreatestForward.Run))
	}
	if !math.IsNaN(s.Risk) {
		t.add(texts("risk that the field was too low, at the least margin", fixedPoint(100*s.Risk, 1), "%", frequency(s.LeastMargin.Frequency), s.LeastMargin.Run))
	}
	b.table(t)
}

// cellFindings sets the findings that act on a cell.
func (b *book) cellFindings(c *report.Cell) {
	b.heading(head{level: 3, text: "Findings"})
	if len(c.Findings) == 0 {
		b.paragraph("None.")
		return
	}
	t := &table{columns: []column{
		{head: "No."}, {head: "Check"}, {head: "Frequency", wraps: true}, {head: "What was found", wraps: true},
		{head: "Evidence", wraps: true}, {head: "State"},
	}}
	heads := b.groupHeads()
	groups := b.report.GroupFindings(c.Findings)
	for i := range groups {
		g := &groups[i]
		f := &b.report.Findings[g.First()]
		t.add(row{cells: []cell{
			{text: g.Name(), link: findingAnchor(heads[g.First()])}, {text: f.Check}, {text: frequencies(g.From, g.To), link: visitAnchor(f.Visit)},
			{text: joined(list("\n", groupText(f, g), b.followingText(g)))}, {text: evidenceText(g.Evidence)}, {text: string(f.State), bold: f.State == report.Open},
		}})
	}
	b.table(t)
}

// groupHeads gives for every finding the one under whose name it stands in section 9.
func (b *book) groupHeads() map[int]int {
	heads := map[int]int{}
	for _, g := range b.report.GroupFindings(b.report.AllFindings()) {
		for _, i := range slices.Concat(g.Findings, g.Follow) {
			heads[i] = g.First()
		}
	}
	return heads
}
