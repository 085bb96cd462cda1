package report_test

import (
	"flag"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/templates/demoday"
)

// faultDays is how many made-up days each proof looks at; more than the usual
// number takes longer and finds rarer things.
var faultDays = flag.Int("faults", 0, "number of made-up days of each proof; 0 for the usual number")

// days returns the number of days that a proof looks at.
func days(usual int) int {
	if *faultDays > 0 {
		return *faultDays
	}
	return usual
}

// buildMadeUp writes a made-up day and evaluates it as the program does. The name
// says in a message which day it was.
func buildMadeUp(t testing.TB, day *demoday.Day, name string) *report.Report {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, day.Write(dir), name)
	folder, err := ingest.Open(dir)
	require.NoError(t, err, name)
	defer folder.Close()
	r, err := report.Build(folder, report.Program{Name: "fieldheld", Version: "test"})
	require.NoError(t, err, name)
	return r
}

// list writes findings on lines of their own, for messages of tests.
func list(findings []report.Finding) string {
	var b strings.Builder
	for _, f := range findings {
		fmt.Fprintf(&b, "\n  %s (%s) run %q %v to %v %v: %s", f.Check, f.State, f.Run, f.From, f.To, f.Evidence, f.Message())
	}
	return b.String()
}

func TestCleanDaysGiveNoFinding(t *testing.T) {
	for seed := range uint64(days(80)) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			r := buildMadeUp(t, demoday.Random(seed), "clean day")
			require.Empty(t, r.Findings, list(r.Findings))
			require.Equal(t, report.Demonstrated, r.State)
		})
	}
}
