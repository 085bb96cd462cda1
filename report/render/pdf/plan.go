package pdf

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/plan"
	"fieldheld/report/render/layout"
	"fieldheld/templates/wording"
)

// WritePlan writes the plan of a test as PDF/A-3u. The error is a MissingGlyphs
// where it holds characters that the fonts lack. Nothing is written then.
func WritePlan(w io.Writer, p *plan.Plan, program report.Program) error {
	l := &leaflet{title: "Test plan", sheet: p.Sheet, program: program, date: p.Date,
		subject: "Plan of a radiated-susceptibility test: " + clean(p.Sheet.Article.Name)}
	l.compose = func(f *layout.Flow) {
		s := &planPaper{Flow: f, plan: p}
		l.headline(f, strings.Trim(date(p.Date), undefined), "Radiated susceptibility of the "+strings.TrimPrefix(clean(p.Sheet.Article.Name), "the "))
		s.overview()
		s.concerns()
		s.forecast()
		s.positions()
		s.equipment()
		s.Heading(layout.Heading{Level: 1, Text: "Cautions", Outline: "Cautions"})
		setBlocks(s.Flow, wording.Safety())
		s.notes()
		s.steps()
	}
	return l.write(w)
}

// planPaper is a plan while it is laid out.
type planPaper struct {
	*layout.Flow
	plan *plan.Plan
}

// overview sets what is tested, and the table of cells.
func (s *planPaper) overview() {
	p := s.plan
	s.Lines(layout.LeadStyle, fmt.Sprintf("%s in %s, %s of testing without changes of the setup.",
		plural(p.Steps, "step"), plural(len(p.Cells), "cell"), longTime(p.Time)), 0, 8)
	q, article := p.Requirement, &p.Sheet.Article
	hold := fmt.Sprintf("%s, of which %s dwell, %s settling and %s levelling", seconds(p.StepTime), seconds(q.Required()), seconds(p.Settle), seconds(p.Levelling))
	if !p.LevellingStated {
		hold += " (not stated in the job sheet; the usual allowance)"
	}
	facts := []fact{
		{label: "Requirement", value: q.Title + " (" + q.Source + ")"},
		{label: "Modulation", value: q.Modulation.String()},
		{label: "Time of a step", value: hold},
		{label: "Article", value: list(", ", article.Name, prefixed("part number ", article.PartNumber), prefixed("serial number ", article.Serial))},
		{label: "Modes of operation", value: strings.Join(article.Modes, "; ")},
		{label: "Susceptible means", value: article.Criteria},
		{label: "Place", value: list(", ", p.Sheet.Site.Name, p.Sheet.Site.Chamber)},
		{label: "Customer", value: p.Sheet.Customer.Name},
	}
	setFacts(s.Flow, facts)
	s.cells()
}

func (s *planPaper) cells() {
	s.Heading(layout.Heading{Level: 2, Text: "Cells", Outline: "Cells"})
	t := &layout.Table{Columns: []layout.Column{{Head: "Frequency range"}, {Head: "Polarization"}, {Head: "Position", Align: layout.Right}, {Head: "Limit", Unit: "V/m", Align: layout.Right},
		{Head: "Steps", Align: layout.Right}, {Head: "Time", Align: layout.Right}}}
	if s.plan.Forecast {
		t.Columns = append(t.Columns, layout.Column{Head: "Most forward\npower", Unit: "W", Align: layout.Right}, layout.Column{Head: "Least\nheadroom", Unit: "dB", Align: layout.Decimal}, layout.Column{Head: "In reach", Align: layout.Right}, layout.Column{Head: "Out of\nreach", Align: layout.Right},
			layout.Column{Head: "Not\nknown", Align: layout.Right})
	}
	for i := range s.plan.Cells {
		c := &s.plan.Cells[i]
		r := layout.Texts(frequencies(c.From, c.To), string(c.Polarization), fmt.Sprintf("%d of %d", c.Position, c.Positions), limitRange(c), fmt.Sprint(len(c.Steps)), longTime(c.Time))
		if s.plan.Forecast {
			r.Cells = append(r.Cells, forecastCells(c)...)
		}
		t.Add(r)
	}
	s.Table(t)
}

func forecastCells(c *plan.Cell) []layout.Cell {
	most, least := undefined, undefined
	if c.Greatest != nil {
		most = power(c.Greatest.Forward)
	}
	if c.Least != nil {
		least = headroomText(c.Least.Headroom)
	}
	return []layout.Cell{{Text: most}, {Text: least}, {Text: fmt.Sprint(c.Count.Reached)},
		{Text: count(c.Count.Short), Bold: true}, {Text: count(c.Count.Unknown()), Bold: true}}
}

// headroomText rounds a headroom so that it never reads as if the level were reached
// where it is not.
func headroomText(d quantity.Decibel) string { return decibels(float64(d), 0) }

// limitRange writes the limits of a cell's steps: "200", or "50 – 200".
func limitRange(c *plan.Cell) string {
	low, high := c.LimitSpan()
	if low == high {
		return exact(float64(low))
	}
	return exact(float64(low)) + " – " + exact(float64(high))
}

// concerns sets what has to be settled before the test.
func (s *planPaper) concerns() {
	if len(s.plan.Concerns) > 0 {
		s.Heading(layout.Heading{Level: 1, Text: "To settle before the test", Outline: "To settle before the test"})
		s.List(unbroken(s.plan.Concerns))
	}
}

// notes sets what the plan rests on.
func (s *planPaper) notes() {
	s.Heading(layout.Heading{Level: 1, Text: "What this plan rests on", Outline: "What this plan rests on"})
	s.List(unbroken(s.plan.Notes))
	if len(s.plan.Requirement.Notes) > 0 {
		s.Heading(layout.Heading{Level: 2, Text: "Notes on the requirement"})
		s.List(unbroken(s.plan.Requirement.Notes))
	}
}

// unbroken joins numbers with their units in each text.
func unbroken(texts []string) []string {
	list := make([]string, len(texts))
	for i, text := range texts {
		list[i] = layout.JoinUnits(text)
	}
	return list
}

// groupName is how a group of cells is called in heads: "Horizontal, position 1, 30 – 200 MHz".
func groupName(g plan.Group) string {
	c := g.Cells[0]
	return capital(g.Name()) + ", " + frequencies(c.From, c.To)
}

// forecast sets the figures of the power that the steps need.
func (s *planPaper) forecast() {
	if !s.plan.Forecast {
		return
	}
	s.Heading(layout.Heading{Level: 1, Text: "Forecast of forward power", Outline: "Forecast of forward power"})
	for _, group := range s.plan.Groups() {
		c := group.Cells[0]
		if c.Greatest == nil {
			s.Paragraph(groupName(group) + ": the low-level record reaches none of the steps.")
			continue
		}
		s.Figure(150, 190, powerForecastCaption(c, group), powerForecastCaption(c, group), forecastFigure(c, group).Draw)
	}
	s.ratings()
}

// forecastFigure is the power that the steps need, and the lowest rating where one
// and the same holds for all of them.
func forecastFigure(c *plan.Cell, group plan.Group) charts.Power {
	figure := charts.Power{Frequencies: charts.Range{From: float64(c.From), To: float64(c.To)}, Rated: math.NaN()}
	series := charts.Series{Label: group.Name()}
	for i := range c.Steps {
		series.Points = append(series.Points, charts.Point{X: float64(c.Steps[i].Frequency), Y: float64(c.Steps[i].Peak)})
	}
	figure.Forward = []charts.Series{series}
	if rating := c.OneRating(); rating != nil {
		figure.Rated = float64(rating.Power)
	}
	return figure
}

func powerForecastCaption(c *plan.Cell, group plan.Group) string {
	text := fmt.Sprintf("%s: forward power that each step needs", groupName(group))
	if c.Greatest.Peak > c.Greatest.Forward {
		text += " at the crest of the modulation"
	}
	text += fmt.Sprintf(". Most is needed at %s: %s.", frequency(c.Greatest.Frequency), withUnit(power(c.Greatest.Peak), "W"))
	if rating := c.OneRating(); rating != nil {
		text += fmt.Sprintf(" The lowest rating is that of %s, %s.", rating.Part, withUnit(power(rating.Power), "W"))
	}
	if n := c.Count.NoForecast; n > 0 {
		text += fmt.Sprintf(" For %s there is no forecast; nothing is drawn there.", plural(n, "step"))
	}
	return text
}

// ratings sets what the parts of the path stand, against what is needed.
func (s *planPaper) ratings() {
	t := &layout.Table{Columns: []layout.Column{{Head: "Rating", Wraps: true}, {Head: "Power", Unit: "W", Align: layout.Right}, {Head: "Cells", Wraps: true},
		{Head: "Least headroom", Unit: "dB", Align: layout.Decimal}, {Head: "at", Align: layout.Right}, {Head: "Steps beyond", Align: layout.Right}}}
	for _, group := range s.plan.Groups() {
		for _, r := range group.Cells[0].Ratings {
			t.Add(layout.Row{Cells: []layout.Cell{{Text: r.Part}, {Text: power(r.Power)}, {Text: groupName(group)}, {Text: headroomText(r.Least)}, {Text: frequency(r.At)},
				{Text: count(r.Beyond), Bold: r.Beyond > 0}}})
		}
	}
	if len(t.Rows) > 0 {
		s.Heading(layout.Heading{Level: 2, Text: "Headroom of every part that states a rating"})
		s.Table(t)
	}
}

// longTime writes a time of testing so that no line breaks in it.
func longTime(d time.Duration) string { return strings.ReplaceAll(plan.LongTime(d), " ", "\u00a0") }
