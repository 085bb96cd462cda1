package report

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
)

func TestBehaviourInACell(t *testing.T) {
	none := quantity.Undefined[quantity.Frequency]()
	event := func(run string, f quantity.Frequency, dismissed string) Event {
		return Event{Event: jobsheet.Event{Run: run, Frequency: f, Dismissed: dismissed, Threshold: 50}, Limit: 100, BelowLimit: true}
	}
	for _, test := range []struct {
		name   string
		state  State
		events []Event
		open   bool // an observation
		want   string
	}{
		{"met", Met, nil, false, "no susceptibility was observed"},
		{"accepted", MetWithDeviations, nil, false, "no susceptibility was observed where the steps are met; nothing is said of what is accepted"},
		{"not met", NotMet, nil, false, "nothing can be said: the field was not shown"},
		{"not shown", NotShown, nil, false, "nothing can be said: the field was not shown"},
		{"an open observation", Met, nil, true, "no statement: an observation is taken up by no event"},
		{"one", Met, []Event{event("H1", 30e6, "")}, true, "1 event"},
		{"anywhere in the run", NotMet, []Event{event("H2", none, ""), event("H1", 100e6, "")}, false, "2 events"},
		{"anywhere at all", Met, []Event{event("", none, "")}, false, "1 event"},
		{"near the edge, within the resolution", Met, []Event{event("H1", 29.9995e6, "")}, false, "1 event"},
		{"another run", Met, []Event{event("V1", 100e6, "")}, false, "no susceptibility was observed"},
		{"another range", Met, []Event{event("H1", 201e6, "")}, false, "no susceptibility was observed"},
		{"dismissed", Met, []Event{event("H1", 100e6, "a lamp")}, false, "no susceptibility was observed"},
	} {
		r, c := served()
		c.State, r.Events = test.state, test.events
		if test.open {
			r.Findings = []Finding{{Check: "observation", State: Open}}
		}
		assert.Equal(t, test.want, r.BehaviourIn(c), test.name)
	}
}

func TestDismissedEventsAreNoSusceptibilities(t *testing.T) {
	r := &Report{Events: []Event{{}, {Event: jobsheet.Event{Dismissed: "a lamp"}}, {Event: jobsheet.Event{Run: "H1"}}}}
	assert.Equal(t, []*Event{&r.Events[0], &r.Events[2]}, r.Susceptibilities())
	r.Events[1].Search = &jobsheet.Search{}
	assert.False(t, r.SearchRecorded(), "nobody searches the threshold of what was dismissed")
	r.Events[2].Search = &jobsheet.Search{}
	assert.True(t, r.SearchRecorded())
}
