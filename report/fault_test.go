package report_test

import (
	"fmt"
	"slices"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/report"
	"fieldheld/templates/demoday"
)

// faults are all faults that are planted.
func faults() []fault {
	return slices.Concat(levelFaults(), dwellFaults(), rangeFaults(), overlapFaults(), probeFaults(), sheetFaults(), powerFaults(), recordFaults(), changeFaults())
}

// Seeds of the days in which faults are planted, apart from those of clean days.
const firstFaultSeed = 1_000_000

func TestFaultsAreFound(t *testing.T) {
	var planted, detected, alarms atomic.Int64
	t.Run("each", func(t *testing.T) {
		for k, f := range faults() {
			t.Run(f.name, func(t *testing.T) {
				t.Parallel()
				n := days(2)
				seed := uint64(firstFaultSeed + 10_000_000*k)
				for tries := 0; n > 0; tries++ {
					require.Less(t, tries, 200*days(2), "no day was found in which the fault could be planted")
					found, fits := tryFault(t, f, seed+uint64(tries), &alarms)
					if !fits {
						continue
					}
					n--
					planted.Add(1)
					if found {
						detected.Add(1)
					}
				}
			})
		}
	})
	t.Logf("%d faults planted, %d found as they had to be, %d findings that nobody planted", planted.Load(), detected.Load(), alarms.Load())
}

// tryFault plants a fault in the day of the seed and compares the findings with
// those that it must give.
func tryFault(t *testing.T, f fault, seed uint64, alarms *atomic.Int64) (found, fits bool) {
	day := demoday.Random(seed)
	expected, fits := f.plant(newPlanter(day, seed))
	if !fits {
		return false, false
	}
	name := fmt.Sprintf("%s, seed %d", f.name, seed)
	r := buildMadeUp(t, day, name)
	missing, others := compare(r.Findings, expected)
	for _, e := range missing {
		assert.Fail(t, "a planted fault was not found", "%s\nexpected: %s\nfound: %s", name, e, list(r.Findings))
	}
	for _, other := range others {
		if f.drowned || other.State == report.Note && slices.Contains(f.beside, other.Check) {
			continue
		}
		alarms.Add(1)
		assert.Fail(t, "a finding that nobody planted", "%s\nexpected: %s\nfound: %s", name, expected, list([]report.Finding{other}))
	}
	decides := slices.ContainsFunc(expected, func(e expectation) bool { return !e.note && !e.asks })
	if !f.drowned {
		want := report.Demonstrated
		if decides {
			want = report.NotDemonstrated
		}
		assert.Equal(t, want, r.State, name)
	}
	return len(missing) == 0, true
}

// compare parts the expectations that no finding meets from the findings that
// nobody expects.
func compare(findings []report.Finding, expected []expectation) (missing []expectation, others []report.Finding) {
	others = slices.Clone(findings)
	for _, e := range expected {
		i := slices.IndexFunc(others, e.met)
		if i < 0 {
			missing = append(missing, e)
			continue
		}
		others = slices.Delete(others, i, i+1)
	}
	return missing, others
}

// TestEveryCheckHasAFault keeps the faults complete: a check that is added needs
// a fault that proves it.
func TestEveryCheckHasAFault(t *testing.T) {
	proved := map[string]bool{}
	for _, f := range faults() {
		for seed := uint64(0); seed < 400; seed++ {
			day := demoday.Random(firstFaultSeed + seed)
			expected, fits := f.plant(newPlanter(day, seed))
			for _, e := range expected {
				proved[e.check] = true
			}
			if fits {
				break
			}
		}
	}
	for _, check := range jobsheet.Checks {
		assert.True(t, proved[check], check)
	}
}
