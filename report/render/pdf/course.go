package pdf

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"fieldheld/charts"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// course sets what happened beside the steps of the test, on a time line of each
// date and in a list, where the job sheet states anything.
func (b *book) course() {
	if len(b.report.Incidents) == 0 {
		return
	}
	b.Heading(layout.Heading{Level: 2, Text: "Course of the test"})
	for _, day := range b.report.Course() {
		if line, ok := b.timeline(&day); ok {
			b.Figure(line.Height(), line.Height(), b.timelineCaption(&day), b.timelineCaption(&day), func(s charts.Surface, width, _ float64) error {
				return line.Draw(s, width, timelineLabels)
			})
		}
	}
	zone := zoneOf(b.report.FirstTest)
	t := &layout.Table{Columns: []layout.Column{
		{Head: "No.", Align: layout.Right}, {Head: "Time", Unit: zone}, {Head: "Run"}, {Head: "What happened", Wraps: true}, {Head: "What was done", Wraps: true},
	}}
	for i, incident := range b.report.Incidents {
		r := layout.Texts(strconv.Itoa(i+1), momentIn(b.inZone(incident.At), zone), orDash(incident.Run), incident.What, orNotStated(incident.Done))
		if incident.Article != "" {
			r.Note = "The article was changed: " + incident.Article + "."
		}
		t.Add(r)
	}
	b.Table(t)
}

// timelineLabels is the room for the names of runs, in points.
const timelineLabels = 70

// timeline is the time line of one date; none where nothing on it has a length.
func (b *book) timeline(day *report.Day) (charts.Timeline, bool) {
	hour := func(at time.Time) float64 { return at.Sub(day.Date).Hours() }
	var line charts.Timeline
	var least, most float64
	seen := false
	widen := func(at float64) {
		if !seen || at < least {
			least = at
		}
		if !seen || at > most {
			most = at
		}
		seen = true
	}
	prefix := day.Folder()
	for _, run := range day.Runs {
		row := charts.TimelineRow{Label: b.Fit(layout.LabelStyle, clean(strings.TrimPrefix(run.Run, prefix)), timelineLabels-6)}
		for _, span := range run.Times {
			widen(hour(span.From))
			widen(hour(span.To))
			row.Bars = append(row.Bars, [2]float64{hour(span.From), hour(span.To)})
		}
		line.Rows = append(line.Rows, row)
	}
	for _, i := range day.Incidents {
		incident := &b.report.Incidents[i]
		at := hour(b.inZone(incident.At))
		widen(at)
		line.Marks = append(line.Marks, charts.TimelineMark{At: at, Label: strconv.Itoa(i + 1), Parts: incident.Article != ""})
	}
	for _, i := range day.Events {
		at := hour(b.inZone(b.report.Events[i].At))
		widen(at)
		line.Marks = append(line.Marks, charts.TimelineMark{At: at, Label: "event"})
	}
	slices.SortStableFunc(line.Marks, func(a, b charts.TimelineMark) int { return cmp.Compare(a.At, b.At) })
	const edge = 0.05 // hours, so that nothing stands on the border
	line.From, line.To = least-edge, most+edge
	return line, seen
}

func (b *book) timelineCaption(day *report.Day) string {
	events := ""
	if len(day.Events) > 0 {
		events = ", and the events of section 10"
	}
	text := fmt.Sprintf("The course of %s: the times at which the runs held their steps, and the incidents by their numbers%s.", day.Date.Format(time.DateOnly), events)
	if b.report.ArticleChanged(day) {
		text += " At a heavy line the article was changed."
	}
	return text
}

func orDash(s string) string {
	if s == "" {
		return undefined
	}
	return s
}
