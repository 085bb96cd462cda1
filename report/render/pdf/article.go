package pdf

import (
	"fmt"
	"math"
	"strings"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// article sets what was tested.
func (b *book) article() {
	b.section("3", "The article", "article")
	a := b.report.Sheet.Article
	received := date(a.Received)
	if a.Received.IsZero() {
		received = ""
	}
	width := ""
	if a.Width > 0 {
		width = a.Width.String() + ", edge to edge"
	}
	response := "none stated: the dwell of the requirement alone counts"
	if a.ResponseTime > 0 {
		response = seconds(a.ResponseTime)
	}
	setFacts(b.Flow, []fact{
		{label: "Name", value: a.Name, customer: true},
		{label: "Part number", value: a.PartNumber, customer: true},
		{label: "Serial number", value: a.Serial, customer: true},
		{label: "Versions", value: a.Versions, customer: true},
		{label: "Description", value: a.Description, customer: true},
		{label: "Received", value: received},
		{label: "Condition on receipt", value: a.Condition},
		{label: "Modes of operation", value: strings.Join(a.Modes, "; "), customer: true},
		{label: "Response time", value: response, customer: true},
		{label: "Counts as susceptible", value: a.Criteria, customer: true},
		{label: "Test setup boundary", value: width, customer: true},
		{label: "Monitoring", value: a.Monitoring},
		{label: "Sampling", value: a.Sampling},
	})
}

// requirement sets what the day has to show.
func (b *book) requirement() {
	q := b.report.Requirement
	b.section("4", "The requirement", "requirement")
	origin := "the laboratory's or customer's own file " + q.File
	if q.Name != "" {
		origin = "built in, " + q.Name
	}
	setFacts(b.Flow, []fact{
		{label: "Title", value: q.Title},
		{label: "Source", value: list("\n", q.Source, prefixed("Edition: ", q.Edition), prefixed("Clause: ", q.Clause))},
		{label: "As read from", value: origin},
		{label: "Modulation", value: q.Modulation.String()},
		{label: "The limit speaks of", value: levelText(q.OfPeak)},
		{label: "Required dwell", value: b.dwellText()},
		{label: "Samples in a dwell", value: fmt.Sprintf("at least %d of every probe", q.MinSamples)},
		{label: "Tolerance", value: b.toleranceText()},
		{label: "Several probes", value: sensorsText(q.Sensors)},
		{label: "Antenna positions", value: positionsText(b)},
		{label: "Decision rule", value: b.ruleText()},
	})
	b.limitTable()
	b.limitPlot()
	b.stepTable()
	if len(q.Notes) > 0 {
		b.Heading(layout.Heading{Level: 2, Text: "Notes of the requirement"})
		b.List(q.Notes)
	}
	b.overrides()
}

func (b *book) dwellText() string {
	q := b.report.Requirement
	text := fmt.Sprintf("%s at each step", seconds(q.Required()))
	if q.Response > q.Dwell {
		text += fmt.Sprintf(": the article's response time, which is longer than the %s of the requirement", seconds(q.Dwell))
	}
	if q.Settle > 0 {
		text += fmt.Sprintf(", counted from %s after the begin of a visit", seconds(q.Settle))
	}
	return text
}

func (b *book) toleranceText() string {
	q := b.report.Requirement
	low := "no lower tolerance: the limit itself has to be held"
	if q.ToleranceLow < 0 {
		low = fmt.Sprintf("the level may be up to %s below the limit", withUnit(exact(-float64(q.ToleranceLow)), "dB"))
	}
	if !quantity.Defined(q.ToleranceHigh) {
		return low + "; no upper tolerance"
	}
	return low + fmt.Sprintf("; it may be at most %s above it", withUnit(exact(float64(q.ToleranceHigh)), "dB"))
}

func sensorsText(sensors string) string {
	if sensors == "mean" {
		return "the mean of their figures has to show the level"
	}
	return "each of them has to show the level"
}

// positionsText says how many antenna positions are needed, and where that is
// not known.
func positionsText(b *book) string {
	q := b.report.Requirement
	text := plural(q.Positions, "position")
	if rule := q.PositionRule; rule != nil {
		if q.Positions == 0 {
			text = "not known: the width of the article's setup is not stated"
		}
		text += fmt.Sprintf("; up to %s one for each %s of the test setup boundary or part of it", frequency(rule.UpTo), rule.Spacing)
	}
	for _, polarization := range quantity.Polarizations() {
		if from, to, unknown := q.UnknownPositions(polarization); unknown && q.Positions > 0 {
			text += fmt.Sprintf("; not known for %s polarization, %s", polarization, frequencies(from, to))
		}
	}
	return text
}

// levelText says what the limit speaks of where the field is modulated.
func levelText(ofPeak bool) string {
	if ofPeak {
		return "a sine wave with the same peak as the modulated field"
	}
	return "the unmodulated carrier; of a pulse, the level while the pulse is on"
}

// limitTable sets the limit over frequency, and the levels that follow from it: the
// lowest and the highest acceptable one, and with guarded acceptance the level
// that has to be shown.
func (b *book) limitTable() {
	b.Heading(layout.Heading{Level: 2, Text: "Limit"})
	q := b.report.Requirement
	t := &layout.Table{Columns: []layout.Column{
		{Head: "From", Align: layout.Right}, {Head: "To", Align: layout.Right}, {Head: "Limit", Unit: "V/m", Align: layout.Right},
		{Head: "Lowest acceptable", Unit: "V/m", Align: layout.Right},
	}}
	if q.Rule.Guarded {
		t.Columns = append(t.Columns, layout.Column{Head: "With guard band", Unit: "V/m", Align: layout.Right})
	}
	t.Columns = append(t.Columns, layout.Column{Head: "Highest acceptable", Unit: "V/m", Align: layout.Right}, layout.Column{Head: "Polarizations", Wraps: true})
	for i := range q.Limits {
		l := &q.Limits[i]
		all := b.report.LevelsOf(l)
		values := []string{frequency(l.From), frequency(l.To), levels(all.Limit), levels(all.Lowest)}
		if q.Rule.Guarded {
			values = append(values, levels(all.Guarded))
		}
		r := layout.Texts(append(values, levels(all.Highest), quantity.Join(l.Polarizations, ", "))...)
		if len(l.Frequencies) > 0 {
			r.Note = "At these frequencies alone: " + report.FrequencyList(l.Frequencies) + ". "
		}
		if l.Optional != "" {
			r.Note += "Optional, and no part of this day: " + l.Optional + "."
		}
		t.Add(r)
	}
	b.Table(t)
}

// levels writes the levels at both ends of a segment.
func levels(span report.LevelSpan) string {
	switch {
	case !quantity.Defined(span.Low):
		return undefined
	case span.Low == span.High:
		return exact(float64(span.Low))
	}
	return exact(float64(span.Low)) + " – " + exact(float64(span.High))
}

// limitPlot draws the limit, one line for each polarization where they differ.
func (b *book) limitPlot() {
	lines := b.report.LimitLines()
	if len(lines) == 0 {
		return
	}
	figure := charts.Limit{Frequencies: charts.Range{From: math.Inf(1)}}
	for _, line := range lines {
		drawn := charts.Series{Label: quantity.Join(line.Polarizations, " and ")}
		for _, piece := range line.Pieces {
			figure.Frequencies.From = min(figure.Frequencies.From, float64(piece.From))
			figure.Frequencies.To = max(figure.Frequencies.To, float64(piece.To))
			drawn.Points = append(drawn.Points, slope(piece, 0)...)
			drawn.Points = append(drawn.Points, charts.Point{X: float64(piece.To), Y: math.NaN()}) // ends the line
		}
		figure.Levels = append(figure.Levels, drawn)
	}
	figure.Frequencies = drawable(figure.Frequencies)
	b.Figure(105, 120, "The limit over frequency.", "The limit over frequency, as the table of limits states it.", figure.Draw)
}

// stepTable sets the largest steps between neighbours.
func (b *book) stepTable() {
	b.Heading(layout.Heading{Level: 2, Text: "Largest step"})
	t := &layout.Table{Narrow: true, Columns: []layout.Column{
		{Head: "From", Align: layout.Right}, {Head: "To", Align: layout.Right}, {Head: "Largest step", Unit: "% of the frequency", Align: layout.Right},
	}}
	steps, relative := b.report.StepLines()
	if !relative {
		t.Columns[2] = layout.Column{Head: "Largest step, or what alone is visited", Wraps: true}
	}
	for _, s := range steps {
		step := exact(100 * float64(s.Max))
		if !relative {
			step = s.Text
		}
		t.Add(layout.Texts(frequency(s.From), frequency(s.To), step))
	}
	if len(steps) > 0 {
		b.Table(t)
	} else {
		b.Paragraph("None: the limits are at listed frequencies, each of which is visited.")
	}
}

// overrides sets what the job sheet changed, with its reason and who agreed, and
// what of the method was added, left out or done otherwise (7.8.2.1 n).
func (b *book) overrides() {
	b.Heading(layout.Heading{Level: 2, Text: "Set otherwise by the job sheet"})
	list := b.report.Requirement.Overrides
	if len(list) == 0 {
		b.Paragraph("None: the requirement was applied as it stands.")
	} else {
		b.overrideTable(list)
	}
	b.Heading(layout.Heading{Level: 2, Text: "Additions, deviations and exclusions"})
	items := b.exclusions()
	if len(items) == 0 {
		b.Paragraph("None.")
		return
	}
	b.List(items)
}

func (b *book) overrideTable(list []report.Override) {
	t := &layout.Table{Columns: []layout.Column{
		{Head: "What", Wraps: true}, {Head: "Requirement", Wraps: true}, {Head: "This day", Wraps: true}, {Head: "Asks for", Wraps: true},
		{Head: "Reason", Wraps: true}, {Head: "Agreed by", Wraps: true},
	}}
	for _, o := range list {
		asks, agreed := "no less", undefined
		if o.Relaxation {
			asks, agreed = "less", orNotStated(o.AgreedBy)
		}
		r := layout.Texts(o.Name(), o.Was, o.Is, asks, orNotStated(o.Reason), agreed)
		const asked = 3
		r.Cells[asked].Bold = o.Relaxation
		t.Add(r)
	}
	b.Table(t)
}

// exclusions lists what was done otherwise than the requirement has it.
func (b *book) exclusions() []string {
	var items []string
	for _, o := range b.report.Requirement.Overrides {
		item := fmt.Sprintf("%s: %s instead of %s", capital(o.Name()), o.Is, o.Was)
		if o.Relaxation {
			item += ", which asks for less"
		}
		items = append(items, item+".")
	}
	if n := len(b.report.Sheet.Deviations); n > 0 {
		items = append(items, capital(plural(n, "deviation"))+" from the method, with reason and agreement: see section 9.")
	}
	return items
}
