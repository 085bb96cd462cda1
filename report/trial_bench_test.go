package report_test

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// The days of testdata/trial: job sheets written by hand, and records that a small
// bench writes. It knows nothing of how records are read, nor of the evaluation: it
// plays steps on a clock and writes what the loggers of the day would.

// A trialStep is one row of a dwell record and what the probes saw meanwhile.
type trialStep struct {
	frequency float64 // Hz
	level     float64 // V/m, what the requirement speaks of
	offsets   [2]float64
	hold      time.Duration
	pause     time.Duration // before it
	purpose   string        // "" for a test step
	remark    string
	spoilt    bool // the logger changes its range in the midst of it

	on, start, end time.Time
}

// A trialLogger is a field probe with its logger.
type trialLogger struct {
	file       string
	place      int                   // which offset of a step it sees
	correction trialTable            // of the probe
	modulation float64               // factor that brings a modulated reading to the level
	from, to   time.Time             // when it writes; zero: always
	clock      time.Duration         // how far its clock is ahead
	row        func(trialRow) string // writes one line
	head       string                // before the rows
	encode     func(string) []byte   // nil: UTF-8
	interval   time.Duration         // between two readings
	phase      time.Duration         // of the first reading
	noise      *rand.Rand            // of its readings
	axes       [3]float64            // shares of the power in each axis
	idle       float64               // V/m while the field is off
}

// A trialRow is one reading.
type trialRow struct {
	at      time.Time
	reading float64
	axes    [3]float64
	spoilt  bool
}

// A trialTable is a correction table in decibels over frequency in Hz.
type trialTable [][2]float64

// at interpolates straight over the logarithm of frequency.
func (t trialTable) at(f float64) float64 {
	for i := 1; i < len(t); i++ {
		if f <= t[i][0] || i == len(t)-1 {
			a, b := t[i-1], t[i]
			return a[1] + (b[1]-a[1])*math.Log(f/a[0])/math.Log(b[0]/a[0])
		}
	}
	return 0
}

// A trialBench plays runs and writes their records.
type trialBench struct {
	dir string
	now time.Time
	rng *rand.Rand
}

func newTrialBench(dir string, begin time.Time, seed uint64) *trialBench {
	return &trialBench{dir: dir, now: begin, rng: rand.New(rand.NewPCG(seed, 13))}
}

// trialSteps are the steps of a sweep: each a bit less than the largest step above
// the one before, the last at the end, as a generator of the resolution takes them.
func (b *trialBench) trialSteps(from, to, step, resolution, level float64, hold time.Duration) []*trialStep {
	var list []*trialStep
	for f := from; ; {
		f = math.Round(f/resolution) * resolution
		list = append(list, &trialStep{frequency: f, level: level * math.Pow(10, (0.35+0.5*b.rng.Float64())/20), hold: hold})
		if f >= to {
			return list
		}
		f = math.Min(to, f*(1+step)-resolution)
	}
}

// play gives every step its times.
func (b *trialBench) play(steps []*trialStep) {
	for _, s := range steps {
		b.now = b.now.Add(s.pause + time.Duration(550+b.rng.IntN(250))*time.Millisecond)
		s.on = b.now
		s.start = s.on.Add(time.Duration(220+b.rng.IntN(120)) * time.Millisecond)
		s.end = s.start.Add(s.hold + time.Duration(b.rng.IntN(200))*time.Millisecond)
		b.now = s.end
	}
}

// record writes the log of one logger for the steps.
func (b *trialBench) record(t *testing.T, l trialLogger, steps []*trialStep) {
	t.Helper()
	text := l.head
	first, last := steps[0].on.Add(-2*time.Second), steps[len(steps)-1].end.Add(2*time.Second)
	k := 0
	for at := first.Add(l.phase); at.Before(last); at = at.Add(l.interval) {
		if !l.from.IsZero() && at.Before(l.from) || !l.to.IsZero() && !at.Before(l.to) {
			continue
		}
		for k < len(steps)-1 && !at.Before(steps[k].end.Add(80*time.Millisecond)) {
			k++
		}
		s := steps[k]
		shown := at.Add(time.Duration(l.noise.IntN(7)-3) * time.Millisecond)
		row := trialRow{at: shown.Add(l.clock), reading: l.idle * (0.7 + 0.6*l.noise.Float64())}
		if k > 0 && at.Sub(steps[k-1].end) > 5*time.Second && s.on.Sub(at) > 5*time.Second {
			continue // paused
		}
		if !at.Before(s.on.Add(120*time.Millisecond)) && at.Before(s.end.Add(80*time.Millisecond)) {
			ripple := 0.04 * (2*l.noise.Float64() - 1)
			decibels := s.offsets[l.place] + ripple - l.correction.at(s.frequency)
			row.reading = s.level * math.Pow(10, decibels/20) / l.modulation
			middle := s.start.Add(s.hold / 2)
			row.spoilt = s.spoilt && at.Sub(middle).Abs() < l.interval
		}
		for i, share := range l.axes {
			row.axes[i] = row.reading * math.Sqrt(share)
		}
		text += l.row(row)
	}
	b.write(t, l.file, text, l.encode)
}

// write writes a record.
func (b *trialBench) write(t *testing.T, file, text string, encode func(string) []byte) {
	t.Helper()
	path := filepath.Join(b.dir, filepath.FromSlash(file))
	require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
	data := []byte(text)
	if encode != nil {
		data = encode(text)
	}
	require.NoError(t, os.WriteFile(path, data, 0o644))
}

// lines writes one line for each step.
func lines(head string, steps []*trialStep, line func(*trialStep) string) string {
	text := head
	for _, s := range steps {
		text += line(s)
	}
	return text
}

// trialPower is what an amplifier has to give for a step, in W, and what comes back.
func trialPower(s *trialStep, perRootWatt float64) (forward, reflected float64) {
	k := perRootWatt * (1 + 0.15*math.Sin(6*math.Log(s.frequency)))
	forward = math.Pow(s.level/k, 2)
	return forward, forward * (0.04 + 0.02*math.Sin(9*math.Log(s.frequency)))
}

// dbm writes a power as a meter behind a coupler of 50 dB sees it.
func dbm(watts float64) float64 { return 10*math.Log10(watts*1e3) - 50 }
