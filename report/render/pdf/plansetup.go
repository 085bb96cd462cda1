package pdf

import (
	"fmt"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report/plan"
	"fieldheld/report/render/layout"
)

// positions sets where the antenna stands along the test setup boundary.
func (s *planPaper) positions() {
	s.Heading(layout.Heading{Level: 1, Text: "Antenna positions", Outline: "Antenna positions"})
	width := s.plan.Sheet.Article.Width
	text := "The width of the test setup boundary is not stated, so that the places of the positions are not known."
	if quantity.Defined(width) {
		text = fmt.Sprintf("The test setup boundary is %s wide. It is parted evenly; the centre of each antenna position lies at the middle of its part, measured from the left edge as seen from the antenna.", width)
	}
	if distance := s.plan.Sheet.Site.Distance; quantity.Defined(distance) {
		text += fmt.Sprintf(" The antenna stands %s from the boundary.", distance)
	}
	s.Paragraph(text)
	t := &layout.Table{Narrow: true, Columns: []layout.Column{{Head: "Frequency range"}, {Head: "Position", Align: layout.Right}, {Head: "Centre from the\nleft edge", Unit: "m", Align: layout.Decimal},
		{Head: "To the next\nposition", Unit: "m", Align: layout.Decimal}}}
	for _, c := range s.plan.Places() {
		t.Add(layout.Texts(frequencies(c.From, c.To), fmt.Sprintf("%d of %d", c.Position, c.Positions), fixedPoint(float64(c.Centre), 2), fixedPoint(float64(c.Spacing), 2)))
	}
	s.Table(t)
	if widest := s.plan.Widest(); widest != nil && quantity.Defined(width) {
		caption := fmt.Sprintf("The boundary of the setup with %s, seen from above; the antenna looks upwards.", plural(widest.Positions, "antenna position"))
		s.Figure(62, 62, caption, caption,
			func(on charts.Surface, wide, high float64) error {
				drawPositions(on, wide, high, widest, width)
				return nil
			})
	}
}

// drawPositions draws the boundary as a bar and an antenna before each part of it.
func drawPositions(on charts.Surface, wide, high float64, c *plan.Cell, width quantity.Length) {
	const edge, bar = 40.0, 14.0
	label := charts.Font{Size: 8}
	line := charts.Line{Width: 0.8, Colour: charts.Accent}
	x := func(at quantity.Length) float64 { return edge + (wide-2*edge)*float64(at/width) }
	path := func(points ...charts.Point) []charts.Segment {
		segments := []charts.Segment{{Kind: charts.MoveTo, Points: [3]charts.Point{points[0]}}}
		for _, p := range points[1:] {
			segments = append(segments, charts.Segment{Kind: charts.LineTo, Points: [3]charts.Point{p}})
		}
		return segments
	}
	top := high - 2
	on.Stroke(append(path(charts.Point{X: x(0), Y: top}, charts.Point{X: x(width), Y: top}, charts.Point{X: x(width), Y: top - bar},
		charts.Point{X: x(0), Y: top - bar}), charts.Segment{Kind: charts.Close}), line)
	text := fmt.Sprintf("test setup boundary, %s", width)
	on.Text(x(width/2)-on.Width(label, text)/2, top-bar+4, label, charts.Ink, text)
	for i := 1; i <= c.Positions; i++ {
		place, spacing := plan.Place(width, quantity.Position(i), c.Positions)
		centre := x(place)
		if i < c.Positions {
			border := x(spacing * quantity.Length(i))
			on.Stroke(path(charts.Point{X: border, Y: top - bar}, charts.Point{X: border, Y: 16}),
				charts.Line{Width: 0.4, Dashes: []float64{2, 2}, Colour: charts.Quiet})
		}
		on.Stroke(path(charts.Point{X: centre, Y: top - bar - 3}, charts.Point{X: centre, Y: 18}), charts.Line{Width: 0.4, Colour: charts.Quiet})
		on.Fill(append(path(charts.Point{X: centre - 6, Y: 12}, charts.Point{X: centre + 6, Y: 12}, charts.Point{X: centre, Y: 20}),
			charts.Segment{Kind: charts.Close}), charts.Accent)
		name := fmt.Sprint(i)
		on.Text(centre-on.Width(label, name)/2, 2, label, charts.Ink, name)
	}
}

// equipment sets how every calibration will stand.
func (s *planPaper) equipment() {
	s.Heading(layout.Heading{Level: 1, Text: "Equipment", Outline: "Equipment"})
	if len(s.plan.Equipment) == 0 {
		s.Paragraph("The job sheet lists no equipment.")
		return
	}
	when := "State on the test date"
	t := &layout.Table{Columns: []layout.Column{{Head: "Asset"}, {Head: "Role", Wraps: true}, {Head: "Description, maker, model", Wraps: true}, {Head: "Range of use"},
		{Head: "Rating", Unit: "W", Align: layout.Right}, {Head: "Calibrated"}, {Head: "Due"}, {Head: when, Wraps: true}}}
	for i := range s.plan.Equipment {
		e := &s.plan.Equipment[i]
		t.Add(layout.Row{Cells: []layout.Cell{{Text: e.Asset}, {Text: e.Role}, {Text: orNotStated(list(", ", e.Description, e.Maker, e.Model))},
			{Text: frequencies(e.From, e.To)}, {Text: power(e.RatedPower)}, {Text: date(e.Calibrated)}, {Text: date(e.Due)}, {Text: e.State, Bold: e.Fault != ""}}})
	}
	s.Table(t)
}

// steps sets the list of steps of each group of cells.
func (s *planPaper) steps() {
	s.Heading(layout.Heading{Level: 1, Text: "Steps", Outline: "Steps"})
	s.Paragraph("To be read across. --steps writes them as CSV for the generator, with all digits.")
	for _, group := range s.plan.Groups() {
		c := group.Cells[0]
		s.Heading(layout.Heading{Level: 2, Text: fmt.Sprintf("%s: %s", groupName(group), plural(len(c.Steps), "step")), Outline: groupName(group)})
		if s.plan.Forecast && c.Greatest != nil {
			s.Table(s.forecastList(c))
			s.Note("Headroom is that of the lowest rating over the crest of the modulation. A step that is out of reach bears the mark of a square with a stroke; a dash is not known.")
			continue
		}
		s.Table(s.stepList(c))
	}
}

// stepList lists frequencies several a line, with their limits where these differ.
func (s *planPaper) stepList(c *plan.Cell) *layout.Table {
	return s.acrossTable(c, 6, nil, func(*plan.Step) []layout.Cell { return nil })
}

// forecastList lists frequencies with the power that they need.
func (s *planPaper) forecastList(c *plan.Cell) *layout.Table {
	notMet := charts.NotMet
	columns := []layout.Column{{Head: "Forward", Unit: "W", Align: layout.Decimal}, {Head: "Headroom", Unit: "dB", Align: layout.Decimal}}
	return s.acrossTable(c, 3, columns, func(step *plan.Step) []layout.Cell {
		headroom := layout.Cell{Text: headroomText(step.Headroom)}
		if step.Reach == plan.Short {
			headroom.Mark, headroom.Bold = &notMet, true
		}
		return []layout.Cell{{Text: power(step.Forward)}, headroom}
	})
}

// acrossTable sets the steps side by side, up to most in a row: each with its frequency, its limit where these differ, and further cells.
func (s *planPaper) acrossTable(c *plan.Cell, most int, further []layout.Column, cells func(*plan.Step) []layout.Cell) *layout.Table {
	columns := []layout.Column{{Head: "Frequency", Unit: "MHz", Align: layout.Decimal}}
	low, high := c.LimitSpan()
	varying := low != high
	if varying {
		columns = append(columns, layout.Column{Head: "Limit", Unit: "V/m", Align: layout.Decimal})
	}
	columns = append(columns, further...)
	decimals := decimalsOfMegahertz(frequenciesOf(c))
	var all [][]layout.Cell
	for i := range c.Steps {
		step := &c.Steps[i]
		one := []layout.Cell{{Text: fixedPoint(float64(step.Frequency)/1e6, decimals)}}
		if varying {
			one = append(one, layout.Cell{Text: exact(float64(step.Limit)), Quiet: true})
		}
		all = append(all, append(one, cells(step)...))
	}
	return s.SideBySide(columns, all, most)
}

func frequenciesOf(c *plan.Cell) []quantity.Frequency {
	list := make([]quantity.Frequency, len(c.Steps))
	for i := range c.Steps {
		list[i] = c.Steps[i].Frequency
	}
	return list
}
