package report

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/quantity"
)

func TestGroupFindings(t *testing.T) {
	none := quantity.Frequency(math.NaN())
	at := func(group int, f quantity.Frequency, first, last int) Finding {
		return Finding{Check: "level", Group: group, From: f, To: f, Evidence: []Evidence{{File: "h1.csv", First: first, Last: last}}}
	}
	r := &Report{Findings: []Finding{at(1, 30e6, 10, 20), at(1, 31e6, 30, 40), at(0, 50e6, 90, 99), at(2, 60e6, 7, 8), at(1, 29e6, 1, 5), at(2, 61e6, 9, 9),
		{Check: "calibration", From: none, To: none, Evidence: []Evidence{{File: "job.toml"}}}, {Check: "step-size", From: 1, To: 2,
			Evidence: []Evidence{{File: "d.csv", First: 3, Last: 3}, {File: "d.csv", First: 8, Last: 8}}}}}
	groups := r.GroupFindings(r.AllFindings())
	var names []string
	for i := range groups {
		names = append(names, groups[i].Name())
	}
	assert.Equal(t, []string{"F1 and 2 more", "F3", "F4 and 1 more", "F7", "F8"}, names)
	assert.Equal(t, []quantity.Frequency{29e6, 31e6}, []quantity.Frequency{groups[0].From, groups[0].To})
	assert.Equal(t, []Evidence{{File: "h1.csv", First: 1, Last: 40}}, groups[0].Evidence)
	assert.Len(t, groups[4].Evidence, 2, "two places of one finding stay two")
	assert.False(t, quantity.Defined(groups[3].From))

	part := r.GroupFindings([]int{0, 1})
	assert.Len(t, part, 1)
	assert.Equal(t, "F1–F2", part[0].Name())
}

func TestFindingsThatADeviationCovers(t *testing.T) {
	r := &Report{Findings: []Finding{{Check: "level", Group: 1, Deviation: 2}, {Check: "level", Group: 1}, {Check: "dwell", Deviation: 1}, {Check: "level", Group: 1, Deviation: 2}}}
	names := func(groups []FindingGroup) (list []string) {
		for i := range groups {
			list = append(list, groups[i].Name())
		}
		return list
	}
	assert.Equal(t, []string{"F3"}, names(r.CoveredBy(1)))
	assert.Equal(t, []string{"F1 and 1 more"}, names(r.CoveredBy(2)))
	assert.Empty(t, r.CoveredBy(3))
	assert.Equal(t, map[int]int{0: 0, 1: 0, 2: 2, 3: 0}, r.GroupHeads())
}

func TestCountFindings(t *testing.T) {
	r := &Report{Findings: []Finding{{Check: "level", State: Open}, {Check: "dwell", State: Note}, {Check: "level", State: Accepted}, {Check: "level", State: Open}}}
	checks, all := r.CountFindings()
	assert.Equal(t, []FindingCount{{Check: "dwell", Notes: 1}, {Check: "level", Open: 2, Accepted: 1}}, checks)
	assert.Equal(t, FindingCount{Open: 2, Accepted: 1, Notes: 1}, all)
	assert.Equal(t, []int{3, 4}, []int{checks[1].All(), all.All()})
	checks, all = (&Report{}).CountFindings()
	assert.Empty(t, checks)
	assert.Zero(t, all.All())
}

func TestWhatFollowsFromAClockIsReadWithIt(t *testing.T) {
	none := quantity.Frequency(math.NaN())
	clock := func(file, cause string) Finding {
		return Finding{Check: "clock", State: Note, Cause: cause, From: none, To: none, Evidence: []Evidence{{File: file}}}
	}
	of := func(check string, state FindingState, follows int) Finding {
		return Finding{Check: check, State: state, Follows: follows, From: 30e6, To: 30e6}
	}
	r := &Report{Findings: []Finding{of("level", Open, 0), of("level", Open, 5), of("samples", Open, 6), of("power", Note, 5),
		clock("h1.csv", "3600 s"), clock("v1.csv", "3600 s"), clock("power.csv", ""), clock("other.csv", "")}}
	groups := r.GroupFindings(r.AllFindings())
	var names []string
	for i := range groups {
		names = append(names, groups[i].Name())
	}
	assert.Equal(t, []string{"F5–F6", "F1", "F7", "F8"}, names, "the clocks come first, those apart by the same as one")
	assert.Equal(t, []int{1, 2, 3}, groups[0].Follow)
	assert.Equal(t, "3 findings, 2 of them open: level 1, samples 1, power 1", r.Following(&groups[0]))
	assert.Empty(t, r.Following(&groups[1]))
	assert.Equal(t, map[int]int{0: 0, 1: 4, 2: 4, 3: 4, 4: 4, 5: 4, 6: 6, 7: 7}, r.GroupHeads())
	files, open := r.ClocksFirst()
	assert.Equal(t, []string{"h1.csv", "v1.csv"}, files)
	assert.Equal(t, 2, open)

	open1 := r.GroupFindings([]int{0, 1, 2})
	assert.Len(t, open1, 3, "without their clock they are read by themselves")
}
