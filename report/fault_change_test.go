package report_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/templates/demoday"
)

// changeFaults are probes that were changed at a moment at which they should not
// have been, and steps that are said to be none.
func changeFaults() []fault {
	return []fault{
		{name: "probe changed within a visit", plant: (*planter).changedWithin, beside: []string{"linearity"}},
		{name: "no probe in use during a visit", plant: (*planter).changedAround, beside: []string{"linearity"}},
		{name: "probe changed between two visits", plant: (*planter).changedBetween},
		{name: "step that is called no test step", plant: (*planter).calledTrial, beside: []string{"linearity"}},
	}
}

// replaceProbe lets a probe of a run be another entry of the same log from a time on:
// the first one goes at a time, the second one comes at a time.
func replaceProbe(run *demoday.Run, probe int, to, from quantity.Instant) {
	second := run.Probes[probe]
	second.Sheet.From = from.UTC()
	run.Probes[probe].Sheet.To = to.UTC()
	run.Probes = slices.Insert(run.Probes, probe+1, second)
}

// changedWithin changes the probe in the middle of a visit, each part of which is
// too short.
func (p *planter) changedWithin() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), func(t target) bool {
		open := t.visit.End.Sub(t.visit.Start) - p.shape.Settle
		return len(t.run.Probes) == 1 && open < 2*p.shape.Required()-20*time.Millisecond
	})
	if !ok {
		return nil, false
	}
	begin := t.visit.Start.Add(p.shape.Settle)
	at := begin.Add(t.visit.End.Sub(begin) / 2)
	log := t.run.Probes[0].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	middle := from
	for middle < to && log.Samples[middle].At < at {
		middle++
	}
	if middle == from || middle == to {
		return nil, false
	}
	replaceProbe(t.run, 0, at, at)
	e := p.at("dwell", t, nil)
	e.file, e.rows = log.Entry.File, [2]int{log.Row(from), log.Row(middle - 1)}
	return []expectation{e}, true
}

// changedAround takes the probe away for the time of one visit; what its log shows
// then is told.
func (p *planter) changedAround() ([]expectation, bool) {
	t, ok := p.pick(p.alone(), anyTarget)
	if !ok {
		return nil, false
	}
	k := p.IntN(len(t.run.Probes))
	log := t.run.Probes[k].Log
	from, to := log.Window(t.visit, p.shape.Settle)
	replaceProbe(t.run, k, t.visit.Start, t.visit.End)
	if from == to {
		return nil, false
	}
	told := expectation{check: "record", note: true, run: t.run.Sheet.ID, file: log.Entry.File, rows: [2]int{log.Row(from), log.Row(to - 1)}}
	return []expectation{p.dwellRow("samples", t), told, told}, true
}

// changedBetween changes the probe between two visits, which is no fault.
func (p *planter) changedBetween() ([]expectation, bool) {
	t, ok := p.pick(p.targets(), func(t target) bool {
		return !slices.ContainsFunc(p.targets(), func(o target) bool { return o.visit.Start < t.visit.End && t.visit.End < o.visit.End })
	})
	if !ok {
		return nil, false
	}
	replaceProbe(t.run, p.IntN(len(t.run.Probes)), t.visit.End, t.visit.End)
	return nil, true
}

// calledTrial says of a step that it was none: it is a hole then, and is told.
func (p *planter) calledTrial() ([]expectation, bool) {
	r, steps, ok := p.cell()
	if !ok {
		return nil, false
	}
	i := 1 + p.IntN(len(steps)-2)
	t, before, after := steps[i], steps[i-1], steps[i+1]
	if !p.tooWide(p.reached(steps, r)[i-1], after, after.visit.Frequency) {
		return nil, false
	}
	words := quantity.Purposes()[1:]
	t.run.Dwell.Purpose, t.visit.Purpose = true, quantity.Purpose(words[p.IntN(len(words))])
	row := t.run.Dwell.Row(t.index)
	told := expectation{check: "record", note: true, run: t.run.Sheet.ID, file: t.run.Dwell.Entry.File, rows: [2]int{row, row}}
	return []expectation{p.hole("step-size", &before, &after, before.visit.Frequency, after.visit.Frequency), told}, true
}

// TestAProbeChangedBetweenVisitsChangesNothing compares every figure and finding of
// days with faults with those of the same days whose probe is named by two entries.
func TestAProbeChangedBetweenVisitsChangesNothing(t *testing.T) {
	for seed := range uint64(days(12)) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			before, after := damaged(plain(seed), seed), damaged(plain(seed), seed)
			planted, ok := after.changedBetween()
			require.True(t, ok)
			require.Empty(t, planted)
			assert.Equal(t, said(t, buildMadeUp(t, before.day, "one entry")), said(t, buildMadeUp(t, after.day, "two entries")))
		})
	}
}

// TestRowsThatAreNoTestStepsChangeNothing adds searches, trials and aborted steps
// outside the time of all visits, whatever their field was, to days with faults.
func TestRowsThatAreNoTestStepsChangeNothing(t *testing.T) {
	for seed := range uint64(days(12)) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			before, after := damaged(plain(seed), seed), damaged(plain(seed), seed)
			first := after.targets()[0].visit.Start
			for _, o := range after.targets() {
				first = min(first, o.visit.Start)
			}
			for i, word := range quantity.Purposes()[1:] {
				of := after.targets()[after.IntN(len(after.targets()))]
				row := *of.visit
				row.Start = first.Add(-10*time.Minute - time.Duration(i)*2*time.Second) // before anything moved
				row.End, row.Purpose = row.Start.Add(time.Second), quantity.Purpose(word)
				of.run.Dwell.Visits, of.run.Dwell.Purpose = append(of.run.Dwell.Visits, row), true
			}
			with := said(t, buildMadeUp(t, after.day, "with other rows"))
			assert.Len(t, with["other_rows"], 4)
			delete(with, "other_rows")
			with["findings"] = slices.DeleteFunc(with["findings"].([]any), func(f any) bool {
				return strings.HasPrefix(f.(map[string]any)["message"].(string), "Rows of the dwell record that are no test steps")
			})
			assert.Equal(t, said(t, buildMadeUp(t, before.day, "without")), with)
		})
	}
}

// said is what the document of a report says, but of its probes and files.
func said(t *testing.T, r *report.Report) map[string]any {
	t.Helper()
	document, err := r.JSON()
	require.NoError(t, err)
	var all map[string]any
	require.NoError(t, json.Unmarshal(document, &all))
	for _, key := range []string{"probes", "probe_times", "manifest_sha256"} {
		delete(all, key)
	}
	return all
}
