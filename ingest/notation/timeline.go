package notation

import (
	"math"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// Timeline turns the stamps of one file, in the order of the file, into
// instants: it knows the zone, the day that a time of day belongs to, and the
// start that elapsed times count from.
//
// A local hour that the end of summer time brings twice is only told apart by
// the file itself: where its clock goes back within that hour, the times before
// belong to the first pass and those behind to the second. Where it does not,
// the times are doubtful and the caller has to ask.
type Timeline struct {
	Zone    *time.Location
	Start   Stamp         // of elapsed times, and the date of times of day
	Started bool          // whether it is known
	Shift   time.Duration // of all instants: the clock offset of the file

	midnight int64 // of the current day, for times of day
	lastTime int64 // time of day before
	begun    bool

	from, to  int64 // local times for which offset is the only one
	offset    int64
	repeated  int64 // local time before, within an hour that comes twice
	inHour    bool
	secondRun bool
	doubtful  bool  // times of that hour came, and the clock was not seen to go back
	doubt     Stamp // the first of them
}

// At returns the instant of a stamp, or why there is none.
func (l *Timeline) At(s Stamp) (quantity.Instant, wording.Text) {
	switch s.Form {
	case Absolute:
		return quantity.Instant(s.Nanoseconds + int64(l.Shift)), wording.Text{}
	case TimeOfDay:
		if !l.Started {
			return 0, wording.Say("time.no-date", nil)
		}
		return l.local(l.dayOf(s.Nanoseconds))
	case Elapsed:
		if l.Start.Form == Absolute {
			return quantity.Instant(l.Start.Nanoseconds + s.Nanoseconds + int64(l.Shift)), wording.Text{}
		}
		start, problem := l.local(l.Start.Nanoseconds)
		return start + quantity.Instant(s.Nanoseconds), problem
	case DateAlone:
		return 0, wording.Say("time.no-time-of-day", nil)
	}
	return l.local(s.Nanoseconds)
}

// Doubts reports whether times came twice that the file does not tell apart, and
// the first of them.
func (l *Timeline) Doubts() (first Stamp, doubtful bool) { return l.doubt, l.doubtful }

// dayOf puts a time of day on its day: the one of the start, and a day more
// whenever the clock goes back by more than half a day.
func (l *Timeline) dayOf(ns int64) int64 {
	if !l.begun {
		l.begun = true
		l.midnight = l.Start.Nanoseconds - mod(l.Start.Nanoseconds, day)
	} else if l.lastTime-ns > day/2 {
		l.midnight += day
	}
	l.lastTime = ns
	return l.midnight + ns
}

func mod(a, b int64) int64 { return ((a % b) + b) % b }

// local turns a local time into an instant.
func (l *Timeline) local(wall int64) (quantity.Instant, wording.Text) {
	if wall >= l.from && wall < l.to {
		return quantity.Instant(wall - l.offset + int64(l.Shift)), wording.Text{}
	}
	early, late := l.offsetAt(wall-26*hour), l.offsetAt(wall+26*hour)
	first, second := wall-early, wall-late
	firstOK, secondOK := l.offsetAt(first) == early, l.offsetAt(second) == late
	switch {
	case firstOK && secondOK && early != late:
		return quantity.Instant(l.twice(wall, first, second) + int64(l.Shift)), wording.Text{}
	case firstOK:
		l.remember(first, early)
		return quantity.Instant(first + int64(l.Shift)), wording.Text{}
	case secondOK:
		l.remember(second, late)
		return quantity.Instant(second + int64(l.Shift)), wording.Text{}
	}
	return 0, wording.Say("time.skipped-hour", wording.Values{"time": Stamp{wall, WallClock}, "zone": l.Zone})
}

// remember keeps the local times around an instant that have one offset only:
// up to three hours from the next change of the clocks, which moves them less.
func (l *Timeline) remember(unix, offset int64) {
	begin, end := time.Unix(0, unix).In(l.Zone).ZoneBounds()
	l.from, l.to, l.offset = math.MinInt64, math.MaxInt64, offset
	if !begin.IsZero() {
		l.from = begin.UnixNano() + offset + 3*hour
	}
	if !end.IsZero() {
		l.to = end.UnixNano() + offset - 3*hour
	}
}

// twice chooses between the two instants of a local time that came twice.
func (l *Timeline) twice(wall, first, second int64) int64 {
	if l.inHour && l.repeated-wall > 20*minute {
		l.secondRun, l.doubtful = true, false
	}
	l.inHour, l.repeated = true, wall
	if l.secondRun {
		return second
	}
	if !l.doubtful {
		l.doubtful, l.doubt = true, Stamp{wall, WallClock}
	}
	return first
}

func (l *Timeline) offsetAt(unix int64) int64 {
	_, seconds := time.Unix(0, unix).In(l.Zone).Zone()
	return int64(seconds) * second
}
