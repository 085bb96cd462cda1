package pdf

import (
	"fmt"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/render/layout"
	"fieldheld/templates/wording"
)

// behaviour sets what the article did. That nothing was observed is said only of
// cells that are met: where the field was not shown, silence proves nothing.
func (b *book) behaviour() {
	b.section("10", "The article's behaviour", "behaviour")
	// The words are those of page 1, but for what they say of this place.
	words := strings.NewReplacer("see section 10", "see below", "stands in section 10", "stands below").Replace(b.report.Behaviour)
	b.Lines(layout.BodyStyle, layout.JoinUnits(words), 0, 8)
	b.events()
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Frequency range"}, {Head: "Polarization"}, {Head: "Position", Align: layout.Right}, {Head: "State of the field"},
		{Head: "The article", Wraps: true},
	}}
	for i := range b.report.Cells {
		c := &b.report.Cells[i]
		t.Add(layout.Row{Cells: []layout.Cell{
			{Text: cellFrequencies(c), Link: cellAnchor(i)}, {Text: string(c.Polarization)}, {Text: fmt.Sprint(c.Position)}, stateCell(c.State), {Text: b.report.BehaviourIn(c)},
		}})
	}
	if len(t.Rows) > 0 {
		b.Heading(layout.Heading{Level: 2, Text: "By cell"})
		b.Table(t)
	}
}

func (b *book) events() {
	b.Heading(layout.Heading{Level: 2, Text: "Events"})
	if len(b.report.Events) == 0 {
		b.Paragraph("The job sheet records no event.")
		return
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Frequency", Align: layout.Right}, {Head: "Run"}, {Head: "Time"}, {Head: "Observed", Wraps: true},
		{Head: "Limit", Unit: "V/m", Align: layout.Decimal},
		{Head: "Level", Unit: "V/m", Align: layout.Decimal}, {Head: "Threshold", Unit: "V/m", Align: layout.Decimal},
		{Head: "Criterion", Wraps: true}, {Head: "Withstood", Wraps: true},
	}}
	for i := range b.report.Events {
		e := &b.report.Events[i]
		at := undefined
		if !e.At.IsZero() {
			at = b.inZone(e.At).Format("2006-01-02 15:04")
		}
		threshold := fixedPoint(float64(e.Threshold), max(0, fieldDecimals(e.Threshold, e.Limit)-1))
		r := layout.Texts(frequency(e.Frequency), e.Run, at, e.Observed, exactOrNone(e.Limit), field(e.Level), threshold, orNotStated(e.Criterion), withstood(e))
		r.Note = prefixed("Dismissed as no susceptibility: ", e.Dismissed)
		t.Add(r)
	}
	b.Table(t)
	b.Note("Limit is that of the requirement at the event's frequency; level is the sustained field at the step; threshold is the lowest level at " +
		"which the event was still seen. Times are in the report's zone, " + b.zoneName() + ".")
	b.searches()
}

// searches sets how the threshold of each event was found (MIL-STD-461G
// 4.3.10.4.3): what was not recorded is a dash.
func (b *book) searches() {
	if len(b.report.Susceptibilities()) == 0 {
		return // of what was dismissed there is no threshold
	}
	b.Heading(layout.Heading{Level: 2, Text: "How the thresholds were found"})
	if !b.report.SearchRecorded() {
		b.Paragraph("The job sheet does not record how the thresholds were found.")
		return
	}
	t := &layout.Table{Columns: []layout.Column{
		{Head: "Event", Align: layout.Right}, {Head: "Recovered at", Unit: "V/m", Align: layout.Decimal}, {Head: "Backed off to", Unit: "V/m", Align: layout.Decimal},
		{Head: "Returned at", Unit: "V/m", Align: layout.Decimal}, {Head: "Effect from"}, {Head: "to"}, {Head: "Worst at"},
	}}
	for _, e := range b.report.Susceptibilities() {
		if e.Search == nil {
			t.Add(layout.Texts(frequency(e.Frequency), undefined, undefined, undefined, undefined, undefined, undefined))
			continue
		}
		t.Add(layout.Texts(frequency(e.Frequency), field(e.Search.Recovered), field(e.Search.BackedOff), field(e.Search.Returned),
			frequency(e.Search.From), frequency(e.Search.To), frequency(e.Search.Worst)))
	}
	b.Table(t)
}

func exactOrNone(e quantity.FieldStrength) string {
	if !quantity.Defined(e) {
		return undefined
	}
	return exact(float64(e))
}

// withstood says how the threshold of an event compares with the limit.
func withstood(e *report.Event) string {
	switch e.Comparison() {
	case report.Dismissed:
		return "no event: dismissed"
	case report.BelowLimit:
		return "no: below the limit"
	case report.NotBelowLimit:
		return "yes: not below the limit"
	case report.NoThreshold:
		return "not known: the threshold was not determined"
	default:
		return "cannot be compared with the limit"
	}
}

func (b *book) zoneName() string {
	if zone := b.report.Sheet.Report.Zone; zone != nil {
		return zone.String()
	}
	return "UTC"
}

// safety sets the cautions, and what the report does not say.
func (b *book) safety() {
	b.section("11", "Safety and limits of use", "safety")
	setBlocks(b.Flow, wording.Safety())
	b.Heading(layout.Heading{Level: 2, Text: "What this report does not say"})
	setBlocks(b.Flow, wording.Limits())
}
