package report

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
)

// TestCourse puts visits, incidents and events of two dates on their days.
func TestCourse(t *testing.T) {
	zone := time.FixedZone("", 3600)
	at := func(day, hour, minute int) time.Time { return time.Date(2026, 11, day, hour, minute, 0, 0, zone) }
	visit := func(from, to time.Time) *Visit {
		v := &evaluate.Visit{}
		v.Record.Start, v.Record.End = quantity.InstantOf(from), quantity.InstantOf(to)
		return &Visit{Visit: v}
	}
	r := &Report{Sheet: &Sheet{}}
	r.Sheet.Report.Zone = zone
	r.Sheet.Incidents = []Incident{{At: at(19, 10, 0), What: "door opened"}, {At: at(18, 9, 30), What: "trip", Article: "firmware 2.15."}}
	r.Incidents = incidents(r.Sheet)
	r.Events = []Event{{}, {}}
	r.Events[1].At = at(19, 9, 0)
	r.Runs = []Run{
		{Run: check.Run{Run: evaluate.Run{ID: "H1"}, Visits: []*Visit{
			visit(at(18, 9, 1), at(18, 9, 2)), visit(at(18, 9, 0), at(18, 9, 1)), visit(at(18, 9, 20), at(18, 9, 21)), visit(at(18, 23, 59), at(19, 0, 1))}}},
		{Run: check.Run{Run: evaluate.Run{ID: "V1"}, Visits: []*Visit{visit(at(19, 8, 0), at(19, 8, 5))}}},
	}
	days := r.Course()
	require.Len(t, days, 2)
	assert.Equal(t, at(18, 0, 0), days[0].Date)
	assert.Equal(t, []RunTimes{{"H1", []Span{{at(18, 9, 0), at(18, 9, 2)}, {at(18, 9, 20), at(18, 9, 21)}, {at(18, 23, 59), at(19, 0, 1)}}}}, days[0].Runs)
	assert.Equal(t, []int{0}, days[0].Incidents, "in the order of time, not of the sheet")
	assert.Equal(t, []RunTimes{{"V1", []Span{{at(19, 8, 0), at(19, 8, 5)}}}}, days[1].Runs)
	assert.Equal(t, []int{1}, days[1].Incidents)
	assert.Equal(t, []int{1}, days[1].Events, "an event without a time stands on no day")

	assert.Equal(t, " The article was changed during the test (2026-11-18 09:30: firmware 2.15): what was shown before a change is shown of the article as it was then; see section 5.",
		changes(r))
	assert.True(t, r.ArticleChanged(&days[0]))
	assert.False(t, r.ArticleChanged(&days[1]))
	r.Incidents[0].Article = ""
	assert.Empty(t, changes(r))
	assert.False(t, r.ArticleChanged(&days[0]))
}

func TestFolderOfADate(t *testing.T) {
	assert.Equal(t, "2026-11-24/", (&Day{Runs: []RunTimes{{Run: "2026-11-24/H"}, {Run: "2026-11-24/V"}}}).Folder())
	assert.Empty(t, (&Day{Runs: []RunTimes{{Run: "one/H"}, {Run: "two/H"}}}).Folder(), "their names alone are not enough")
	assert.Empty(t, (&Day{Runs: []RunTimes{{Run: "H1"}, {Run: "one/H"}}}).Folder())
	assert.Empty(t, (&Day{}).Folder())
}
