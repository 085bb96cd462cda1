package report_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fieldheld/report"
	"fieldheld/templates/demoday"
)

func TestDemoIsDemonstratedWithDeviations(t *testing.T) {
	r := buildMadeUp(t, demoday.Demo(), "demo")
	assert.Equal(t, report.DemonstratedWithDeviations, r.State)
	assert.Empty(t, r.Missing)
	assert.Empty(t, r.Repeat)
	states := map[string][]string{}
	for _, f := range r.Findings {
		states[string(f.State)] = append(states[string(f.State)], f.Check)
	}
	assert.Equal(t, map[string][]string{"accepted": {"step-size"}, "note": {"level", "level", "level", "level", "dwell"}}, states, list(r.Findings))
}
