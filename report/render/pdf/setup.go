package pdf

import (
	"fmt"
	"math"
	"time"

	"fieldheld/charts"
	"fieldheld/ingest/quantity"
	"fieldheld/report/render/layout"
)

// setup sets where and how the article stood.
func (b *book) setup() {
	s := b.report.Sheet.Site
	length := func(l quantity.Length) string {
		if !quantity.Defined(l) {
			return ""
		}
		return l.String()
	}
	b.section("5", "Setup", "setup")
	setFacts(b.Flow, []fact{
		{label: "Place", value: s.Name},
		{label: "Chamber", value: s.Chamber},
		{label: "Ground plane", value: s.GroundPlane},
		{label: "Distance", value: prefixedSuffix(length(s.Distance), " from the antenna to the article")},
		{label: "Height of the probe", value: length(s.ProbeHeight)},
		{label: "Bonding", value: s.Bonding},
		{label: "Cables and supply", value: s.Cables},
		{label: "Levelling software", value: s.Levelling},
		{label: "Verification of the modulation", value: s.ModulationRecord},
		{label: "Notes", value: s.Notes},
	})
	b.plan()
	b.runTable()
	b.course()
	b.tunings()
	b.environment()
	b.photoPages()
}

// plan draws the setup with its dimensions, where they are stated (MIL-STD-461G
// 5.21.3.5 d).
func (b *book) plan() {
	s, width := b.report.Sheet.Site, b.report.Sheet.Article.Width
	if !(width > 0) || !(s.Distance > 0) {
		return
	}
	figure := charts.Setup{Width: float64(width), Distance: float64(s.Distance), Height: float64(s.ProbeHeight), Positions: max(b.report.Requirement.Positions, 1)}
	caption := "The setup, drawn from the dimensions that the job sheet states; the numbers are the antenna positions."
	if b.report.Requirement.Positions == 0 {
		caption = "The setup, drawn from the dimensions that the job sheet states; the number of antenna positions is not known."
	}
	b.Figure(planHigh, planHigh, caption, caption, figure.Draw)
}

// planHigh is the height of the plan of the setup, in points.
const planHigh = 150

func prefixedSuffix(value, after string) string {
	if value == "" {
		return ""
	}
	return value + after
}

// runTable sets what each run was made with.
func (b *book) runTable() {
	b.Heading(layout.Heading{Level: 2, Text: "Runs"})
	zone := zoneOf(b.report.FirstTest)
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Run"}, {Head: "Polarization"}, {Head: "Position", Align: layout.Right}, {Head: "Modulation", Wraps: true},
		{Head: "Antenna", Wraps: true},
		{Head: "Amplifier", Wraps: true}, {Head: "Probes, height", Wraps: true}, {Head: "Tuning", Wraps: true},
		{Head: "From", Unit: zone, Wraps: true}, {Head: "To", Unit: zone, Wraps: true},
	}}
	for i := range b.report.Runs {
		run := &b.report.Runs[i]
		modulation := "as required"
		if run.Sheet.Modulation != nil {
			modulation = run.Sheet.Modulation.String()
		}
		probes := ""
		for k := range run.Sheet.Probes {
			p := &run.Sheet.Probes[k]
			text := orNotStated(p.Asset)
			if quantity.Defined(p.Height) {
				text += ", " + p.Height.String()
			}
			if p.Standing != "" {
				text += ", " + p.Standing
			}
			if p.IsBounded() {
				text += ", " + b.report.TimesOf(p)
			}
			probes = list("; ", probes, text)
		}
		r := layout.Texts(run.ID, string(run.Polarization), fmt.Sprint(run.Position), modulation, orNotStated(run.Sheet.Antenna),
			orNotStated(run.Sheet.Amplifier), probes, orNone(run.Sheet.Tuning), momentIn(run.First, zone), momentIn(run.Last, zone))
		r.Cells[0].Link, r.Note = runAnchor(i), noStep(run.Sheet.Purpose)
		t.Add(r)
	}
	b.Table(t)
}

func orNone(s string) string {
	if s == "" {
		return "none"
	}
	return s
}

// tunings sets the stored settings of tunable antennas, and every setting that
// was changed by hand.
func (b *book) tunings() {
	tunings := b.report.Sheet.Tunings
	if len(tunings) == 0 {
		return
	}
	b.Heading(layout.Heading{Level: 2, Text: "Tunings"})
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Tuning"}, {Head: "Polarization"}, {Head: "Chamber"}, {Head: "Made"}, {Head: "Changed by hand", Wraps: true},
	}}
	for i := range tunings {
		changes := ""
		for _, c := range tunings[i].Changes {
			changes = list("\n", changes, list(", ", frequency(c.Frequency), prefixed("by ", c.By), c.Note))
		}
		t.Add(layout.Texts(tunings[i].Name, string(tunings[i].Polarization), orNotStated(tunings[i].Chamber), moment(b.inZone(tunings[i].Made)), orNone(changes)))
	}
	b.Table(t)
}

// inZone is a time in the report's zone.
func (b *book) inZone(t time.Time) time.Time {
	if t.IsZero() || b.report.Sheet.Report.Zone == nil {
		return t
	}
	return t.In(b.report.Sheet.Report.Zone)
}

// environment sets the readings and their limits.
func (b *book) environment() {
	b.Heading(layout.Heading{Level: 2, Text: "Environment"})
	s := b.report.Sheet
	if len(s.Environment) == 0 {
		b.Paragraph("No reading is stated.")
		return
	}
	t := &layout.Table{Narrow: true, Columns: []layout.Column{
		{Head: "Time"}, {Head: "Temperature", Unit: "°C", Align: layout.Decimal}, {Head: "Humidity", Unit: "%", Align: layout.Decimal},
		{Head: "Pressure", Unit: "hPa", Align: layout.Decimal},
	}}
	between := func(low, high, scale float64, decimals int) string {
		if math.IsNaN(low) && math.IsNaN(high) {
			return undefined
		}
		return given(low*scale, decimals) + " to " + given(high*scale, decimals)
	}
	for _, e := range s.Environment {
		t.Add(layout.Texts(moment(b.inZone(e.At)), fixedPoint(float64(e.Temperature), 1), fixedPoint(100*float64(e.Humidity), 0), fixedPoint(float64(e.Pressure)/100, 0)))
	}
	b.Table(t)
	l := s.Limits
	b.Note(fmt.Sprintf("Limits: temperature %s °C, humidity %s %%, pressure %s hPa.",
		between(float64(l.Temperature.Low), float64(l.Temperature.High), 1, 1),
		between(float64(l.Humidity.Low), float64(l.Humidity.High), 100, 0),
		between(float64(l.Pressure.Low), float64(l.Pressure.High), 0.01, 0)))
}
