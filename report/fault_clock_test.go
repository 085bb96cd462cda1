package report_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report"
	"fieldheld/templates/demoday"
)

// clocksOff are by how much clocks are set wrong: a little, a minute, a time zone.
var clocksOff = []time.Duration{1500 * time.Millisecond, -1500 * time.Millisecond, 7 * time.Second, 61 * time.Second, -61 * time.Second,
	time.Hour, 2 * time.Hour, -time.Hour, 90 * time.Minute}

// proposed finds the offset and its spread in what a finding says.
var proposed = regexp.MustCompile(`clock_offset = "([-0-9.]+) s" \(± ([0-9.]+) s\)`)

// TestClocksApartAreFoundWithTheirOffset lets the clock of one file of a made-up day
// run wrong by a known time. The finding has to be one, of that file. An offset that
// it proposes lies within its stated spread of the right one, and restores the day;
// where several fit it proposes none.
func TestClocksApartAreFoundWithTheirOffset(t *testing.T) {
	var planted, found, restored atomic.Int64
	t.Run("each", func(t *testing.T) {
		for k, off := range clocksOff {
			for seed := range uint64(days(8)) {
				t.Run(fmt.Sprint(off, " ", seed), func(t *testing.T) {
					t.Parallel()
					day := demoday.Random(7_000_000 + 1000*uint64(k) + seed)
					power := seed%2 == 0
					file, declared, fits := setClockWrong(day, off, power)
					if !fits {
						return
					}
					planted.Add(1)
					r := buildMadeUp(t, day, t.Name())
					if power {
						assertNoStepFails(t, r)
					}
					clocks := findingsOf(r, "clock")
					if len(clocks) == 0 {
						return // on-times as long as these hide it, or too few visits tell it
					}
					found.Add(1)
					require.Len(t, clocks, 1, list(r.Findings))
					assert.Equal(t, file, clocks[0].Evidence[0].File)
					if clocks[0].Text.Code != "clock" {
						assert.Empty(t, clocks[0].Text.Part("line"), "no offset is proposed")
						return
					}
					offset, spread := proposal(t, &clocks[0])
					assert.InDelta(t, (declared - off).Seconds(), offset.Seconds(), spread.Seconds()+1e-3, clocks[0].Message())
					setClockWrong(day, offset-declared, power) // as if the job sheet stated it
					r = buildMadeUp(t, day, t.Name()+", as advised")
					assert.Equal(t, report.Demonstrated, r.State, "as advised, off by %v: %s%s", off, clocks[0].Message(), list(r.Findings))
					assert.Empty(t, findingsOf(r, "clock"), "as advised")
					restored.Add(1)
				})
			}
		}
	})
	t.Logf("%d clocks set wrong: %d found, %d with an offset that restores the day", planted.Load(), found.Load(), restored.Load())
	assert.Greater(t, 10*found.Load(), 8*planted.Load(), "most are found")
	assert.Greater(t, 2*restored.Load(), planted.Load(), "more than half of them with an offset")
}

// proposal reads the offset that a finding proposes.
func proposal(t *testing.T, f *report.Finding) (offset, spread time.Duration) {
	t.Helper()
	said := proposed.FindStringSubmatch(f.Message())
	require.NotNil(t, said, f.Message())
	assert.Equal(t, `clock_offset = "`+said[1]+` s"`, f.Text.Part("line"))
	read := func(text string) time.Duration {
		seconds, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		return time.Duration(math.Round(seconds*1e3)) * time.Millisecond
	}
	return read(said[1]), read(said[2])
}

// setClockWrong moves the times of one file of the first run, without saying so, and
// returns the file and the offset that the job sheet declares.
func setClockWrong(day *demoday.Day, off time.Duration, power bool) (file string, declared time.Duration, fits bool) {
	run := day.Runs[0]
	if power {
		if run.Power == nil || !run.Power.Time {
			return "", 0, false
		}
		for i := range run.Power.Rows {
			run.Power.Rows[i].At = run.Power.Rows[i].At.Add(off)
		}
		return run.Power.Entry.File, run.Power.Entry.ClockOffset, true
	}
	log := run.Probes[0].Log
	for i := range log.Samples {
		log.Samples[i].At = log.Samples[i].At.Add(off)
	}
	return log.Entry.File, log.Entry.ClockOffset, true
}

// assertNoStepFails says that every step is met: power proves no field and takes none
// away.
func assertNoStepFails(t *testing.T, r *report.Report) {
	t.Helper()
	for i := range r.Cells {
		for k := range r.Cells[i].Steps {
			assert.Equal(t, report.Met, r.Cells[i].Steps[k].State)
		}
	}
}

func findingsOf(r *report.Report, check string) []report.Finding {
	var list []report.Finding
	for _, f := range r.Findings {
		if f.Check == check {
			list = append(list, f)
		}
	}
	return list
}

// TestAFileOfAnotherRunIsNotMovedToThisOne names the log of one run for another too:
// its field was on during other visits of the day, and no offset may make it that of
// these.
func TestAFileOfAnotherRunIsNotMovedToThisOne(t *testing.T) {
	tried := 0
	for seed := uint64(8_000_000); tried < days(6); seed++ {
		day := demoday.Random(seed)
		if day.Shape.SharedLog || len(day.Runs) < 2 {
			continue
		}
		visits, _ := day.Runs[1].Visits()
		if len(visits) < 12 {
			continue
		}
		tried++
		day.Runs[1].Probes[0].Log = day.Runs[0].Probes[0].Log
		r := buildMadeUp(t, day, t.Name())
		assert.NotEqual(t, report.Demonstrated, r.State)
		for _, f := range findingsOf(r, "clock") {
			assert.NotEqual(t, "clock", f.Text.Code, "seed %d: %s", seed, f.Message())
		}
	}
}

// TestPowerNeverFailsAStep writes nonsense into the power files of made-up days:
// whatever they say, no step is less met for it.
func TestPowerNeverFailsAStep(t *testing.T) {
	for name, spoil := range map[string]func(row *demoday.PowerRow){
		"nanowatts":        func(row *demoday.PowerRow) { row.Forward, row.Reflected = 1e-9, 1e-10 },
		"megawatts":        func(row *demoday.PowerRow) { row.Forward *= 1e6 },
		"all reflected":    func(row *demoday.PowerRow) { row.Reflected = 2 * row.Forward },
		"nothing":          func(row *demoday.PowerRow) { row.Forward, row.Reflected = 0, 0 },
		"other frequency":  func(row *demoday.PowerRow) { row.Frequency *= 1.5 },
		"another day's":    func(row *demoday.PowerRow) { row.At = row.At.Add(48 * time.Hour) },
		"words":            func(row *demoday.PowerRow) { row.Spoilt = "n/a" },
		"three hours late": func(row *demoday.PowerRow) { row.At = row.At.Add(3 * time.Hour) },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			for seed, tried := uint64(9_000_000), 0; tried < days(3); seed++ {
				day := demoday.Random(seed)
				if day.Runs[0].Power == nil || day.Shape.Motion {
					continue
				}
				tried++
				for _, run := range day.Runs {
					for i := range run.Power.Rows {
						if name != "words" || i > 0 { // a file without any row of power is none
							spoil(&run.Power.Rows[i])
						}
					}
				}
				r := buildMadeUp(t, day, name)
				assertNoStepFails(t, r)
				assert.Equal(t, report.Demonstrated, r.State, list(r.Findings))
				for _, f := range r.Findings {
					assert.Equal(t, report.Note, f.State, list([]report.Finding{f}))
				}
			}
		})
	}
}
