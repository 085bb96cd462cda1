package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
)

// Incident is what happened beside the test steps, as the job sheet states it.
type Incident = jobsheet.Incident

// incidents returns those of the job sheet in the order of their times.
func incidents(sheet *Sheet) []Incident {
	list := slices.Clone(sheet.Incidents)
	slices.SortStableFunc(list, func(a, b Incident) int { return a.At.Compare(b.At) })
	return list
}

// changes says in one sentence where the article was changed within the test, so
// that nobody takes what was shown before a change for the article as it was after
// it; "" where it was not.
func changes(r *Report) string {
	var when []string
	for _, incident := range r.Incidents {
		if incident.Article != "" {
			when = append(when, incident.At.In(r.zone()).Format("2006-01-02 15:04")+": "+strings.TrimSuffix(incident.Article, "."))
		}
	}
	if len(when) == 0 {
		return ""
	}
	return fmt.Sprintf(" The article was changed during the test (%s): what was shown before a change is shown of the article as it was then; see section 5.",
		strings.Join(when, "; "))
}

func (r *Report) zone() *time.Location {
	if zone := r.Sheet.Report.Zone; zone != nil {
		return zone
	}
	return time.UTC
}

// Day is one date of the test, with what happened on it.
type Day struct {
	Date      time.Time // midnight in the report's zone
	Runs      []RunTimes
	Incidents []int // indices in Report.Incidents
	Events    []int // indices in Report.Events
}

// RunTimes are the times at which the rows of a run were made on one date, those
// close behind each other as one.
type RunTimes struct {
	Run   string
	Times []Span
}

// Span is a part of time.
type Span struct{ From, To time.Time }

// pause is what two visits may lie apart and still count as one time at work.
const pause = 2 * time.Minute

// Course returns the dates of the test in their order. A visit through midnight
// belongs to the date on which it began.
func (r *Report) Course() []Day {
	var days []Day
	day := func(at time.Time) *Day {
		at = at.In(r.zone())
		date := time.Date(at.Year(), at.Month(), at.Day(), 0, 0, 0, 0, r.zone())
		i, found := slices.BinarySearchFunc(days, date, func(d Day, date time.Time) int { return d.Date.Compare(date) })
		if !found {
			days = slices.Insert(days, i, Day{Date: date})
		}
		return &days[i]
	}
	for i := range r.Runs {
		var spans []Span
		for _, v := range r.Runs[i].Visits {
			spans = append(spans, Span{v.Record.Start.In(r.zone()), v.Record.End.In(r.zone())})
		}
		for _, v := range r.Runs[i].OtherRows {
			spans = append(spans, Span{v.Record.Start.In(r.zone()), v.Record.End.In(r.zone())})
		}
		slices.SortStableFunc(spans, func(a, b Span) int { return a.From.Compare(b.From) })
		for _, span := range spans {
			day(span.From).add(r.Runs[i].ID, span)
		}
	}
	for i, incident := range r.Incidents {
		d := day(incident.At)
		d.Incidents = append(d.Incidents, i)
	}
	for i := range r.Events {
		if at := r.Events[i].At; !at.IsZero() {
			d := day(at)
			d.Events = append(d.Events, i)
		}
	}
	return days
}

// Folder is what the names of all runs of the date begin with, where they are those of
// one folder of a test over several days; "" where they are not.
func (d *Day) Folder() string {
	folder := ""
	for i, run := range d.Runs {
		of := run.Run[:strings.LastIndex(run.Run, "/")+1]
		if i > 0 && of != folder {
			return ""
		}
		folder = of
	}
	return folder
}

// ArticleChanged reports whether the article was changed on a date of the test.
func (r *Report) ArticleChanged(d *Day) bool {
	return slices.ContainsFunc(d.Incidents, func(i int) bool { return r.Incidents[i].Article != "" })
}

// add takes a visit of a run into the day.
func (d *Day) add(run string, span Span) {
	i := slices.IndexFunc(d.Runs, func(t RunTimes) bool { return t.Run == run })
	if i < 0 {
		d.Runs, i = append(d.Runs, RunTimes{Run: run}), len(d.Runs)
	}
	times := &d.Runs[i].Times
	if n := len(*times); n > 0 && span.From.Sub((*times)[n-1].To) <= pause {
		if span.To.After((*times)[n-1].To) {
			(*times)[n-1].To = span.To
		}
		return
	}
	*times = append(*times, span)
}
