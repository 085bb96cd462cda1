package report_test

import (
	"fmt"
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
// run wrong by a known time. The finding has to be one, of that file, and to propose
// an offset within its stated spread of the right one; or none, where it says that
// several fit.
func TestClocksApartAreFoundWithTheirOffset(t *testing.T) {
	var planted, found, right, several, silent atomic.Int64
	t.Run("each", func(t *testing.T) {
		for k, off := range clocksOff {
			for seed := range uint64(days(12)) {
				t.Run(fmt.Sprint(off, " ", seed), func(t *testing.T) {
					t.Parallel()
					day := demoday.Random(7_000_000 + 1000*uint64(k) + seed)
					file, declared, fits := setClockWrong(day, off, seed%2 == 0)
					if !fits {
						return
					}
					planted.Add(1)
					r := buildMadeUp(t, day, t.Name())
					clocks := findingsOf(r, "clock")
					if len(clocks) == 0 {
						t.Logf("SILENT %d visits=%d %s steps=%v/%v off %v  interval=%v  findings=%d", 7_000_000+1000*uint64(k)+seed, len(r.Runs[0].Visits), file, day.Shape.LogSteps, day.Shape.PowerSteps, off, day.Shape.Sampling.Interval, len(r.Findings))
						silent.Add(1)
						return
					}
					found.Add(1)
					require.Len(t, clocks, 1, list(r.Findings))
					assert.Equal(t, file, clocks[0].Evidence[0].File)
					if clocks[0].Text.Code == "clock.several" {
						t.Logf("SEVERAL %s steps=%v/%v idle=%v times off %v interval=%v: %s", file, day.Shape.LogSteps, day.Shape.PowerSteps, day.Shape.PowerIdle, off, day.Shape.Sampling.Interval, clocks[0].Message())
						several.Add(1)
						return
					}
					said := proposed.FindStringSubmatch(clocks[0].Message())
					require.NotNil(t, said, clocks[0].Message())
					offset, _ := strconv.ParseFloat(said[1], 64)
					spread, _ := strconv.ParseFloat(said[2], 64)
					assert.InDelta(t, (declared - off).Seconds(), offset, spread+0.001, clocks[0].Message())
					right.Add(1)
				})
			}
		}
	})
	t.Logf("%d clocks set wrong: %d found, %d with an offset, %d where several fit, %d of which nothing tells", planted.Load(), found.Load(), right.Load(), several.Load(), silent.Load())
}

// setClockWrong moves the times of one file, without saying so, and returns the
// file and the offset that the job sheet declares.
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

func findingsOf(r *report.Report, check string) []report.Finding {
	var list []report.Finding
	for _, f := range r.Findings {
		if f.Check == check {
			list = append(list, f)
		}
	}
	return list
}

func TestDebugClock(t *testing.T) {
	for _, c := range []struct {
		seed  uint64
		off   time.Duration
		power bool
	}{{7005017, time.Hour, false}, {7005012, time.Hour, true}, {7006009, 2 * time.Hour, false}, {7006002, 2 * time.Hour, true}, {7005038, time.Hour, true}, {7001008, -1500 * time.Millisecond, true}} {
		day := demoday.Random(c.seed)
		setClockWrong(day, c.off, c.power)
		fmt.Println("====", c.seed)
		buildMadeUp(t, day, t.Name())
		fmt.Println(day.Shape.PowerEvery, day.Shape.Required(), day.Shape.Settle, day.Shape.PowerIdle, day.Shape.PowerSteps, day.Shape.Modulation, day.Shape.Detector, day.Shape.Limits, day.Shape.Sampling)
	}
}
