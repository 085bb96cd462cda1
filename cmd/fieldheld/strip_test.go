package main

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
)

// Between listed frequencies nothing is asked for, and nothing is drawn as if it were
// shown; one that was not visited is left, at its place.
func TestAStripOfListedFrequencies(t *testing.T) {
	c := &report.Cell{}
	c.From, c.To = 10e6, 100e6
	c.Listed = []quantity.Frequency{10e6, 31e6, 100e6}
	for _, f := range []quantity.Frequency{10e6, 100e6} {
		step := report.Step{State: report.Met}
		step.Frequency = f
		c.Steps = append(c.Steps, step)
	}
	c.Holes = []report.Hole{{Hole: evaluate.Hole{From: 31e6, To: 31e6, Check: "coverage"}}}
	p := &report.CellProgress{}
	assert.Equal(t, "#   .    #", strip(c, p, 10))
	c.Holes[0].Accepted = true
	assert.Equal(t, "#   =    #", strip(c, p, 10))
	c.Holes, c.Swept, c.Listed = nil, []requirement.Part{{From: 10e6, To: 20e6}}, []quantity.Frequency{100e6}
	assert.Equal(t, "####     #", strip(c, p, 10), "a swept part is drawn as it is")
}
