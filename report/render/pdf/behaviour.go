package pdf

import (
	"fmt"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/templates/wording"
)

// behaviour sets what the article did. That nothing was observed is said only of
// cells that are met: where the field was not shown, silence proves nothing.
func (b *book) behaviour() {
	b.section("10", "The article's behaviour", "behaviour")
	b.lines(textStyle, joined(b.report.Behaviour), 0, 8)
	b.events()
	t := &table{columns: []column{
		{head: "Frequency range"}, {head: "Polarization"}, {head: "Position", align: right}, {head: "State of the field"},
		{head: "The article", wraps: true},
	}}
	for i := range b.report.Cells {
		c := &b.report.Cells[i]
		t.add(row{cells: []cell{
			{text: frequencies(c.From, c.To), link: cellAnchor(i)}, {text: string(c.Polarization)}, {text: fmt.Sprint(c.Position)}, stateCell(c.State), {text: b.observed(c)},
		}})
	}
	if len(t.rows) > 0 {
		b.heading(head{level: 2, text: "By cell"})
		b.table(t)
	}
}

// observed says what can be said of the article in a cell.
func (b *book) observed(c *report.Cell) string {
	n := 0
	for i := range b.report.Events {
		if e := &b.report.Events[i]; e.Comparison() != report.Dismissed && b.concerns(e, c) {
			n++
		}
	}
	switch {
	case n > 0:
		return plural(n, "event")
	case b.report.Unanswered():
		return "no statement: an observation is taken up by no event"
	case c.State == report.MetWithDeviations:
		return "no susceptibility was observed where the steps are met; nothing is said of what is accepted"
	case c.State == report.Met:
		return "no susceptibility was observed"
	default:
		return "nothing can be said: the field was not shown"
	}
}

// concerns reports whether an event may have happened in a cell. One whose run or
// frequency is not stated may have happened anywhere: silence clears no cell.
func (b *book) concerns(e *report.Event, c *report.Cell) bool {
	if quantity.Defined(e.Frequency) && !e.Frequency.Within(c.From-c.Resolution, c.To+c.Resolution) {
		return false
	}
	for _, index := range c.Runs {
		if b.report.Runs[index].ID == e.Run {
			return true
		}
	}
	return e.Run == ""
}

func (b *book) events() {
	b.heading(head{level: 2, text: "Events"})
	if len(b.report.Events) == 0 {
		b.paragraph("The job sheet records no event.")
		return
	}
	t := &table{columns: []column{
		{head: "Frequency", align: right}, {head: "Run"}, {head: "Time"}, {head: "Observed", wraps: true},
		{head: "Limit", unit: "V/m", align: decimal},
		{head: "Level", unit: "V/m", align: decimal}, {head: "Threshold", unit: "V/m", align: decimal},
		{head: "Criterion", wraps: true}, {head: "Withstood", wraps: true},
	}}
	for i := range b.report.Events {
		e := &b.report.Events[i]
		at := undefined
		if !e.At.IsZero() {
			at = b.inZone(e.At).Format("2006-01-02 15:04")
		}
		threshold := fixedPoint(float64(e.Threshold), max(0, fieldDecimals(e.Threshold, e.Limit)-1))
		r := texts(frequency(e.Frequency), e.Run, at, e.Observed, exactOrNone(e.Limit), field(e.Level), threshold, orNotStated(e.Criterion), withstood(e))
		r.note = prefixed("Dismissed as no susceptibility: ", e.Dismissed)
		t.add(r)
	}
	b.table(t)
	b.note("Limit is that of the requirement at the event's frequency; level is the sustained field at the step; threshold is the lowest level at " +
		"which the event was still seen. Times are in the report's zone, " + b.zoneName() + ".")
	b.searches()
}

// searches sets how the threshold of each event was found (MIL-STD-461G
// 4.3.10.4.3): what was not recorded is a dash.
func (b *book) searches() {
	b.heading(head{level: 2, text: "How the thresholds were found"})
	t := &table{columns: []column{
		{head: "Event", align: right}, {head: "Recovered at", unit: "V/m", align: decimal}, {head: "Backed off to", unit: "V/m", align: decimal},
		{head: "Returned at", unit: "V/m", align: decimal}, {head: "Effect from"}, {head: "to"}, {head: "Worst at"},
	}}
	recorded := false
	for i := range b.report.Events {
		e := &b.report.Events[i]
		if e.Comparison() == report.Dismissed {
			continue
		}
		if e.Search == nil {
			t.add(texts(frequency(e.Frequency), undefined, undefined, undefined, undefined, undefined, undefined))
			continue
		}
		recorded = true
		t.add(texts(frequency(e.Frequency), field(e.Search.Recovered), field(e.Search.BackedOff), field(e.Search.Returned),
			frequency(e.Search.From), frequency(e.Search.To), frequency(e.Search.Worst)))
	}
	if !recorded {
		b.paragraph("The job sheet does not record how the thresholds were found.")
		return
	}
	b.table(t)
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
	b.blocks(wording.Safety())
	b.heading(head{level: 2, text: "What this report does not say"})
	b.blocks(wording.Limits())
}
