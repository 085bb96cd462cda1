package report

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/check"
)

func TestInShortGivesFieldAndArticleTheSameWeight(t *testing.T) {
	cell := func(s State) Cell { return Cell{Cell: check.Cell{State: s}} }
	event := func(threshold, limit quantity.FieldStrength, dismissed string) Event {
		return Event{Event: jobsheet.Event{Threshold: threshold, Dismissed: dismissed}, Limit: limit, BelowLimit: threshold < limit}
	}
	undefined := quantity.Undefined[quantity.FieldStrength]()
	met := []Cell{cell(Met), cell(MetWithDeviations)}
	for _, test := range []struct {
		name  string
		given Report
		want  string
	}{
		{"all met", Report{State: "demonstrated", Cells: met}, "Field: demonstrated, 2 of 2 combinations met. Article: no susceptibility where the field was shown."},
		{"nothing met", Report{State: "not demonstrated", Cells: []Cell{cell(NotShown)}, Repeat: make([]Repeat, 3)},
			"Field: not demonstrated, 0 of 1 combinations met, 3 steps to repeat. Article: nothing can be said."},
		{"below the limit", Report{State: "demonstrated", Cells: met, Events: []Event{event(142, 200, ""), event(230, 200, ""), event(1, 200, "the lamp was changed")}},
			"Field: demonstrated, 2 of 2 combinations met. Article: one susceptibility below the limit, one other event."},
		{"a threshold that was not found", Report{State: "demonstrated", Cells: met, Events: []Event{event(undefined, 200, "")}},
			"Field: demonstrated, 2 of 2 combinations met. Article: one event."},
		{"an observation not taken up", Report{State: "demonstrated", Cells: met, Findings: []Finding{{Check: "observation", State: Open}}},
			"Field: demonstrated, 2 of 2 combinations met. Article: one observation not taken up, so that nothing is said."},
	} {
		assert.Equal(t, test.want, test.given.InShort(), test.name)
	}
}
