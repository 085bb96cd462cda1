package check

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// sweep is a day of one run in memory whose steps a test lays out.
type sweep struct {
	visits   int
	holds    func(i int) time.Duration // of a visit
	pauses   func(i int) time.Duration // behind it
	sampling time.Duration
	steps    bool // log and power file write frequencies
	onlyOn   bool // they have rows only while power is on
	silent   bool // the field is on through the pauses, too
}

func even(d time.Duration) func(int) time.Duration { return func(int) time.Duration { return d } }

// uneven gives times of an operator: no two alike, the same each time.
func uneven(d time.Duration) func(int) time.Duration {
	return func(i int) time.Duration { return d + time.Duration(i*i*7919%1700)*time.Millisecond }
}

// day makes the sweep, with the clocks of log and power file off.
func (w sweep) day(log, power time.Duration) *ingest.Day {
	day := smallDay()
	run := &day.Runs[0]
	day.Sheet.Runs[0].Power = &table.Entry{File: "power.csv"}
	day.Sheet.Runs[0].Probes[0].Log = table.Entry{File: "probe.csv"}
	day.Sheet.Runs[0].ForwardMax = 1000
	run.Visits, run.Motion = nil, nil
	run.Probes[0].Log = &record.ProbeLog{File: record.File{Path: "probe.csv"}, Gap: 3 * float64(w.sampling)}
	run.Power = &record.PowerFile{File: record.File{Path: "power.csv"}}
	at := quantity.InstantOf(begun.Add(10 * time.Second))
	on := func(from, to quantity.Instant, f quantity.Frequency, isOn bool) {
		for t := from; t < to; t = t.Add(w.sampling) {
			field, forward := quantity.FieldStrength(11), quantity.Power(50)
			if !isOn {
				field, forward = 0.1, 1e-6
			}
			if !isOn && w.onlyOn {
				continue
			}
			l, p := run.Probes[0].Log, run.Power
			l.Times, p.Times = append(l.Times, t.Add(log)), append(p.Times, t.Add(power))
			l.Readings, p.Forward, p.Reflected = append(l.Readings, field), append(p.Forward, forward), append(p.Reflected, forward/10)
			l.Rows, p.Rows = append(l.Rows, int32(len(l.Rows)+2)), append(p.Rows, int32(len(p.Rows)+2))
			l.Faults = append(l.Faults, record.NoFault)
			if w.steps {
				l.Frequencies, p.Frequencies = append(l.Frequencies, f), append(p.Frequencies, f)
			}
		}
	}
	f := quantity.Frequency(30e6)
	on(at.Add(-5*time.Second), at, f, w.silent)
	for i := range w.visits {
		f = 30e6 + quantity.Frequency(i)*1e6/quantity.Frequency(w.visits-1)
		end := at.Add(w.holds(i))
		run.Visits = append(run.Visits, record.Visit{Row: i + 2, Frequency: f, Start: at, End: end, Run: "H1"})
		on(at.Add(-200*time.Millisecond), end.Add(200*time.Millisecond), f, true)
		next := end.Add(w.pauses(i))
		on(end.Add(200*time.Millisecond), next.Add(-200*time.Millisecond), f, w.silent)
		at = next
	}
	on(at, at.Add(5*time.Second), f, w.silent)
	run.Dwell.Visits = run.Visits
	return day
}

func clocksOf(v Verdict) []Finding {
	var list []Finding
	for _, f := range v.Findings {
		if f.Check == "clock" {
			list = append(list, f)
		}
	}
	return list
}

func TestClocksApart(t *testing.T) {
	const s = time.Second
	operator := sweep{visits: 20, holds: uneven(2 * s), pauses: uneven(s), sampling: 100 * time.Millisecond}
	machine := sweep{visits: 20, holds: even(2 * s), pauses: even(s), sampling: 100 * time.Millisecond}
	with := func(w sweep, change func(*sweep)) sweep { change(&w); return w }
	steps := func(w *sweep) { w.steps = true }
	for _, test := range []struct {
		name       string
		sweep      sweep
		log, power time.Duration
		want       []string // code and proposal of each finding
	}{
		{"nothing wrong, by hand", operator, 0, 0, nil},
		{"nothing wrong, equal steps", machine, 0, 0, nil},
		{"nothing wrong, rows only while on", with(machine, func(w *sweep) { w.onlyOn = true }), 0, 0, nil},
		{"nothing wrong, always on", with(machine, func(w *sweep) { w.silent = true }), 0, 0, nil},
		{"nothing wrong, a slow log", with(operator, func(w *sweep) { w.sampling = 700 * time.Millisecond; w.holds = uneven(3 * s) }), 0, 0, nil},
		{"nothing wrong, frequencies", with(machine, steps), 0, 0, nil},
		{"always on tells nothing", with(machine, func(w *sweep) { w.silent = true }), 7 * s, 0, nil},
		{"half a second is no finding", with(operator, steps), s / 2, 0, nil},

		{"log 1.5 s ahead", operator, 1500 * time.Millisecond, 0, []string{"probe.csv -1.5"}},
		{"log 7 s ahead", operator, 7 * s, 0, []string{"probe.csv -7"}},
		{"power 61 s behind", operator, 0, -61 * s, []string{"power.csv 61"}},
		{"log in another zone", operator, time.Hour, 0, []string{"probe.csv -3600"}},
		{"power in another zone", operator, 0, -2 * time.Hour, []string{"power.csv 7200"}},
		{"half a zone", operator, 0, 5*time.Hour + 30*time.Minute, []string{"power.csv -19800"}},
		{"an hour and a bit is no zone", operator, time.Hour + 5*s, 0, []string{"probe.csv -3605"}},
		{"both, by what each is", operator, 7 * s, -61 * s, []string{"probe.csv -7", "power.csv 61"}},
		{"rows only while on", with(operator, func(w *sweep) { w.onlyOn = true }), 7 * s, 0, []string{"probe.csv -7"}},

		{"equal steps tell no offset", machine, 61*s + 500*time.Millisecond, 0, []string{"probe.csv several"}},
		{"equal steps with frequencies do", with(machine, steps), 61*s + 500*time.Millisecond, 0, []string{"probe.csv -61.5"}},
		{"equal steps, off by just one of them", machine, 3 * s, 0, nil},
		{"the same with frequencies", with(machine, steps), 3 * s, 0, []string{"probe.csv -3"}},
		{"always on, with frequencies", with(machine, func(w *sweep) { w.steps, w.silent = true, true }), 0, time.Hour, []string{"power.csv -3600"}},
		{"six steps with frequencies", with(operator, func(w *sweep) { w.steps, w.visits = true, 6 }), -7 * s, 0, []string{"probe.csv 7"}},
		{"six steps without", with(operator, func(w *sweep) { w.visits = 6 }), -7 * s, 0, nil},
		{"another day's file", operator, 0, 24 * time.Hour, []string{"power.csv elsewhere"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, v := judged(t, test.sweep.day(test.log, test.power), nil)
			var got []string
			for _, f := range clocksOf(v) {
				assert.Equal(t, Note, f.State)
				assert.Len(t, f.Evidence, 1)
				text := f.Evidence[0].File + " "
				if f.apart.without {
					text += "elsewhere"
				} else if len(f.apart.rivals) > 0 {
					text += "several"
				} else {
					right := -test.log
					if f.Evidence[0].File == "power.csv" {
						right = -test.power
					}
					assert.LessOrEqual(t, (f.apart.shift - right).Abs(), f.apart.spread, f.Message())
					assert.LessOrEqual(t, f.apart.spread, 2*time.Second, f.Message())
					text += fmt.Sprint(right.Seconds())
				}
				got = append(got, text)
			}
			assert.Equal(t, test.want, got, "%v", v.Findings)
		})
	}
}

// Where both log and power file are apart by the same, the record between them may be
// the wrong one; where only one is, it is not.
func TestTheDwellRecordMayBeTheWrongOne(t *testing.T) {
	w := sweep{visits: 20, holds: uneven(2 * time.Second), pauses: uneven(time.Second), sampling: 100 * time.Millisecond}
	for _, test := range []struct {
		log, power time.Duration
		want       []bool
	}{{time.Hour, time.Hour, []bool{true, true}}, {time.Hour, 0, []bool{false}}, {time.Hour, -time.Hour, []bool{false, false}}} {
		_, v := judged(t, w.day(test.log, test.power), nil)
		var got []bool
		for _, f := range clocksOf(v) {
			got = append(got, strings.Contains(f.Meaning(), "the clock of dwell.csv may be the wrong one"))
		}
		assert.Equal(t, test.want, got)
	}
}

// What does not match because of the clock follows from it; what is wrong in itself
// does not, and neither does what another log shows.
func TestWhatFollowsFromAClock(t *testing.T) {
	w := sweep{visits: 20, holds: uneven(2 * time.Second), pauses: uneven(time.Second), sampling: 100 * time.Millisecond, steps: true}
	day := w.day(7*time.Second, 0)
	log := day.Runs[0].Probes[0].Log
	low := day.Runs[0].Visits[4] // too low whatever the clock says
	for i, at := range log.Times {
		if at = at.Add(-7 * time.Second); at >= low.Start && at < low.End {
			log.Readings[i] = 5
		}
	}
	s, v := judged(t, day, nil)
	clocks := clocksOf(v)
	require.Len(t, clocks, 1)
	follow := 0
	for _, f := range v.Findings {
		if f.Follows == 0 {
			assert.True(t, f.Check == "clock" || f.From == low.Frequency, brief(f))
			continue
		}
		follow++
		assert.Equal(t, "clock", v.Findings[f.Follows-1].Check)
		assert.NotEqual(t, low.Frequency, f.From, brief(f))
		if f.Check == "level" || f.Check == "samples" {
			assert.Equal(t, Open, f.State, "a clock changes no state: %s", brief(f))
		}
	}
	assert.Greater(t, follow, 19)
	assert.Equal(t, notMet, v.Cells[0].State)

	day.Sheet.Deviations = append(day.Sheet.Deviations, deviation("level"))
	day.Sheet.Deviations[0].From, day.Sheet.Deviations[0].To = 30e6, 31e6
	day.Sheet.Deviations[0].LevelMin = quantity.Undefined[quantity.FieldStrength]()
	v = Judge(s)
	for _, f := range v.Findings {
		assert.True(t, f.Follows == 0 || f.State != Accepted, "what was agreed to is settled: %s", brief(f))
	}

}
