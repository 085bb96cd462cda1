package check

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"sync"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
	"fieldheld/report/verdict/evaluate"
)

// timedFile is a probe log or a power file with times, and the runs that name it.
type timedFile struct {
	entry       table.Entry
	isPower     bool
	times       []quantity.Instant
	levels      func() []float64     // reading or forward power
	frequencies []quantity.Frequency // nil where the file has none worth comparing
	interval    time.Duration        // as a rule between two rows
	gap         time.Duration        // rows further apart do not go on
	off         idle
	uses        []*fileUse
}

// fileUse is one run that names a file.
type fileUse struct {
	run        int
	probe      int    // index in the run's probes; -1 for the power
	dwell      string // path of its dwell record
	resolution quantity.Frequency
	log        *record.ProbeLog // of the probe
	visits     []*moment
	matches    bool // the file matches them as its times stand
}

// moment is a visit as clocks see it: when something had to be on, and at which
// frequency.
type moment struct {
	visit      *evaluate.Visit
	start, end quantity.Instant
	near       quantity.Frequency
	agrees     bool // a figure of the visit shows that the file agrees as it stands
	here       bool // it lies within an on-time told by what the file shows in the time of the run
	use        *fileUse
}

// timedFiles lists every file with times that runs name, each once, with the runs.
func (s *Subject) timedFiles() []*timedFile {
	var files []*timedFile
	known := map[string]*timedFile{}
	add := func(entry table.Entry, isPower bool, u *fileUse, read func() *timedFile) {
		key := fmt.Sprint(entry.File, "|", entry.Sheet, "|", entry.ClockOffset, "|", isPower)
		f := known[key]
		if f == nil {
			f = read()
			f.entry, f.isPower = entry, isPower
			known[key] = f
			files = append(files, f)
		}
		u.visits = s.moments(u.run, u.resolution)
		if u.probe >= 0 {
			u.visits = during(u.visits, s.Day.Runs[u.run].Probes[u.probe].Sheet)
		}
		for _, v := range u.visits {
			v.use, v.agrees = u, s.agrees(v.visit, u) && f.writesAs(v)
		}
		f.uses = append(f.uses, u)
	}
	for i := range s.Day.Runs {
		run := &s.Day.Runs[i]
		for k := range run.Probes {
			log := run.Probes[k].Log
			add(run.Probes[k].Sheet.Log, false, &fileUse{run: i, probe: k, dwell: run.Dwell.File.Path, resolution: log.Resolution, log: log},
				func() *timedFile {
					return newTimedFile(log.Times, levelsOf(log.Readings), log.Frequencies, log.Gap, fieldIdle)
				})
		}
		if power := run.Power; power != nil && power.Times != nil && run.Sheet.Power != nil {
			add(*run.Sheet.Power, true, &fileUse{run: i, probe: -1, dwell: run.Dwell.File.Path, resolution: power.Resolution},
				func() *timedFile {
					return newTimedFile(power.Times, levelsOf(power.Forward), power.Frequencies, 0, powerIdle)
				})
		}
	}
	return files
}

// moments are the visits of a run. A frequency is that of a visit where it is near
// enough and no other visit of the run is nearer, however fine the steps.
func (s *Subject) moments(run int, resolution quantity.Frequency) []*moment {
	visits := s.Evaluated.Runs[run].Visits
	frequencies := make([]quantity.Frequency, len(visits))
	for i, v := range visits {
		frequencies[i] = v.Frequency()
	}
	slices.Sort(frequencies)
	frequencies = slices.Compact(frequencies)
	var list []*moment
	for _, v := range visits {
		start := v.Record.Start.Add(s.Requirement.Settle)
		if start >= v.Record.End {
			continue
		}
		near := v.Near(resolution)
		i, _ := slices.BinarySearch(frequencies, v.Frequency())
		for _, k := range []int{i - 1, i + 1} {
			if k >= 0 && k < len(frequencies) {
				half := quantity.Frequency(math.Abs(float64(frequencies[k]-v.Frequency()))) / 2
				near = min(near, max(half*(1-quantity.Slack), resolution))
			}
		}
		list = append(list, &moment{visit: v, start: start, end: v.Record.End, near: near})
	}
	return list
}

// during returns the visits that lie wholly within the time in which a probe was in
// use.
func during(visits []*moment, probe *jobsheet.Probe) []*moment {
	from, to := probe.Valid()
	return slices.DeleteFunc(visits, func(m *moment) bool {
		return probe.IsBounded() && (m.visit.Record.Start < from || m.visit.Record.End > to)
	})
}

// figuresOf are the figures of a probe, given by its index in the job sheet, in a
// visit; nil where it was not in use.
func figuresOf(v *evaluate.Visit, probe int) *evaluate.SourceFigures {
	for _, p := range v.Probes() {
		if p.Probe == probe {
			return p
		}
	}
	return nil
}

// clockNear is how near to the lowest acceptable level a field is that was on.
const clockNear = quantity.Decibel(6)

// clockCovered is the part of a visit that a stretch of readings covers whose log
// agrees with it.
const clockCovered = 0.8

// agrees reports whether the figures of a visit show that the file agrees with it
// as its times stand, so that its edges need not be looked for.
func (s *Subject) agrees(v *evaluate.Visit, u *fileUse) bool {
	if u.probe < 0 {
		return s.Day.Runs[u.run].Power.Frequencies != nil && v.Power.Count > 0 && v.Power.Disagreeing == 0
	}
	p := figuresOf(v, u.probe)
	if p == nil {
		return false
	}
	window := v.Record.End.Sub(v.Record.Start) - s.Requirement.Settle
	return p.Minimum.Over(v.Lowest) > -clockNear && p.Disagreeing == 0 && float64(p.ValidStretch) >= clockCovered*window.Seconds()
}

// writesAs reports whether the frequency that the file writes first, in the middle
// and last of a visit is that of the visit.
func (f *timedFile) writesAs(m *moment) bool {
	if f.frequencies == nil {
		return true
	}
	from, to := within(f.times, m.start, m.end)
	return from < to && m.isAt(f.frequencies[from]) && m.isAt(f.frequencies[(from+to)/2]) && m.isAt(f.frequencies[to-1])
}

func newTimedFile(times []quantity.Instant, levels func() []float64, frequencies []quantity.Frequency, gap float64, off idle) *timedFile {
	f := &timedFile{times: times, levels: levels, off: off, gap: time.Duration(gap)}
	written := 0
	for _, x := range frequencies {
		if quantity.Defined(x) {
			written++
		}
	}
	if written*5 > len(times) { // fewer are the notes of somebody, and no column of each row
		f.frequencies = frequencies
	}
	return f
}

// levelsOf returns what makes floats of the values, once they are asked for: the log
// of a day without fault is looked at by its figures alone.
func levelsOf[T quantity.Number](values []T) func() []float64 {
	return sync.OnceValue(func() []float64 {
		floats := make([]float64, len(values))
		for i, x := range values {
			floats[i] = float64(x)
		}
		return floats
	})
}

func (f *timedFile) writesFrequencies() bool { return f.frequencies != nil }

// fewestVisits is the least number of visits that tell a clock: a row of frequencies
// in their order says more than as many rises of the field.
func (f *timedFile) fewestVisits() int {
	if f.writesFrequencies() {
		return clockSteps
	}
	return clockVisits
}

// matches reports whether the file matches the visits of a run as its times stand.
func (f *timedFile) matches(u *fileUse) bool {
	visits := spread(u.visits)
	if len(visits) == 0 {
		return true
	}
	n := 0
	for _, v := range visits {
		if v.agrees {
			n++
		}
	}
	if n >= part(visits, clockFits) {
		return true
	}
	first, last := visits[0].start, visits[0].end
	for _, v := range visits {
		first, last = min(first, v.start), max(last, v.end)
	}
	from, to := within(f.times, first, last)
	f.settleGaps()
	here := f.periods(from, to, true)
	for _, v := range visits {
		if v.here = v.within(here, 0); v.here && !v.agrees {
			n++
		}
	}
	return n >= part(visits, clockFits)
}

// settleGaps finds out how far apart the rows of the file are as a rule.
func (f *timedFile) settleGaps() {
	if f.interval > 0 {
		return
	}
	var distances []float64
	for i := 1; i < len(f.times); i++ {
		if d := f.times[i] - f.times[i-1]; d > 0 {
			distances = append(distances, float64(d))
		}
	}
	median := quantity.Median(distances)
	if math.IsNaN(median) {
		median = float64(time.Second)
	}
	f.interval = time.Duration(median)
	f.gap = max(f.gap, 3*f.interval)
}

// idle says how a level shows that field or power is off: near the level at which
// it idles between the steps. It is on well above that.
type idle struct {
	over  float64 // times the idle level is on; 8 to 10 dB
	least float64 // part of the high level that an instrument may show of nothing
}

var (
	fieldIdle = idle{over: 2.5, least: 1e-3}
	powerIdle = idle{over: 10, least: 1e-6}
)

// idlePercentile: one reading in so many is idle or lower.
const idlePercentile = 20

// threshold is the level above which field or power is on; 0 where there is no idle
// time to tell it from.
func (off idle) threshold(level []float64) float64 {
	sorted := append([]float64(nil), level...)
	sort.Float64s(sorted)
	high, low := sorted[len(sorted)*19/20], sorted[len(sorted)/idlePercentile]
	if threshold := max(off.over*low, off.least*high); threshold < high {
		return threshold
	}
	return 0
}

// period is a time during which field or power was on at one frequency at the most:
// from the last row that says otherwise to the next one.
type period struct {
	from, to  quantity.Instant
	frequency quantity.Frequency // NaN where the file writes none
}

// content is what the file shows from its first to its last row: on-times, parted
// where the frequency changes and where rows are missing; or these two alone.
func (f *timedFile) content(byLevel bool) []period {
	f.settleGaps()
	return f.periods(0, len(f.times), byLevel)
}

func (f *timedFile) periods(first, behind int, byLevel bool) []period {
	if first >= behind {
		return nil
	}
	level, threshold := f.levels(), 0.0
	if byLevel {
		threshold = f.off.threshold(level[first:behind])
	}
	var list []period
	goesOn := false // the row before is part of the last period
	for i := first; i < behind; i++ {
		frequency := quantity.Undefined[quantity.Frequency]()
		if f.frequencies != nil {
			frequency = f.frequencies[i]
		}
		if threshold > 0 && !(level[i] > threshold) || f.frequencies != nil && !quantity.Defined(frequency) {
			goesOn = false
			continue
		}
		before, after := f.edge(i, i-1), f.edge(i, i+1)
		if goesOn && !f.isGap(i-1, i) && !changes(list[len(list)-1].frequency, frequency) {
			list[len(list)-1].to = after
			continue
		}
		list = append(list, period{before, after, frequency})
		goesOn = true
	}
	return list
}

// changes reports whether two rows write two frequencies, beyond what a readout
// wavers.
func changes(a, b quantity.Frequency) bool {
	return math.Abs(float64(a-b)) > 1e-4*math.Abs(float64(a))
}

func (f *timedFile) isGap(i, k int) bool { return f.times[k].Sub(f.times[i]) > f.gap }

// edge is how far what row i shows may go on towards the neighbouring row: up to
// it, or one interval where rows are missing there.
func (f *timedFile) edge(i, neighbour int) quantity.Instant {
	if neighbour >= 0 && neighbour < len(f.times) && !f.isGap(min(i, neighbour), max(i, neighbour)) {
		return f.times[neighbour]
	}
	return f.times[i].Add(time.Duration(neighbour-i) * f.interval)
}

// find returns the index of the period within which the moment lies when the file is
// shifted; −1 where there is none.
func (m *moment) find(content []period, shift time.Duration) int {
	i := sort.Search(len(content), func(i int) bool { return content[i].to.Add(shift) >= m.end })
	for ; i < len(content) && content[i].from.Add(shift) <= m.start; i++ {
		if m.isAt(content[i].frequency) && content[i].to.Add(shift) >= m.end {
			return i
		}
	}
	return -1
}

func (m *moment) within(content []period, shift time.Duration) bool {
	return m.find(content, shift) >= 0
}

// around returns the index of the period that holds the middle of the moment when the
// file is shifted; −1 where there is none.
func (m *moment) around(content []period, shift time.Duration) int {
	middle := m.start.Add(m.end.Sub(m.start) / 2)
	i := sort.Search(len(content), func(i int) bool { return content[i].to.Add(shift) >= middle })
	for ; i < len(content) && content[i].from.Add(shift) <= middle; i++ {
		if m.isAt(content[i].frequency) {
			return i
		}
	}
	return -1
}

// isAt reports whether a frequency that the file writes is that of the visit.
func (m *moment) isAt(f quantity.Frequency) bool {
	return !(f > m.visit.Frequency()+m.near) && !(f < m.visit.Frequency()-m.near)
}
