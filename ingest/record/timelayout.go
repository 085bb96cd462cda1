package record

import (
	"strings"
	"time"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// timeLayout is a stated time_format, as Go writes layouts.
type timeLayout struct {
	text  string
	date  bool // it has year, month and day
	clock bool // it has hour and minute
	zone  bool // it has the distance from UTC
}

// The words that time_format may hold instead of a layout, for numbers that do
// not show what they count.
const (
	excelFormat   = "excel"
	unixFormat    = "unix"
	secondsFormat = "seconds"
)

// newTimeLayout looks at which parts of a time the layout has, or says what is
// wrong with it.
func newTimeLayout(text string) (timeLayout, string) {
	l := timeLayout{
		text:  text,
		date:  varies(text, 24*time.Hour) && varies(text, 31*24*time.Hour) && varies(text, 366*24*time.Hour),
		clock: varies(text, time.Hour) && varies(text, time.Minute),
		zone:  strings.Contains(text, "Z07") || strings.Contains(text, "-07"),
	}
	switch {
	case strings.Contains(text, "MST"):
		return l, "it names the zone by letters, which do not tell it"
	case !l.date && !l.clock:
		return l, "it has neither a whole date nor hour and minute"
	case l.zone && !l.date:
		return l, "it has a zone and no date"
	case strings.Contains(text, "03") && !strings.Contains(text, "PM") && !strings.Contains(text, "pm"):
		return l, "it has an hour of twelve without PM"
	}
	return l, ""
}

// varies reports whether times that are so far apart are written differently.
func varies(layout string, apart time.Duration) bool {
	t := time.Date(2001, 2, 3, 4, 5, 6, 0, time.UTC)
	return t.Format(layout) != t.Add(apart).Format(layout)
}

func (l timeLayout) parse(text []byte) (stamp, bool) {
	t, err := time.Parse(l.text, string(text))
	if err != nil {
		return stamp{}, false
	}
	switch {
	case !l.date:
		return stamp{int64(t.Sub(t.Truncate(24 * time.Hour))), timeOfDay}, true
	case t.Year() < 1678 || t.Year() > 2261:
		return stamp{}, false
	case !l.clock:
		return stamp{t.UnixNano(), sinceDate}, true
	case l.zone:
		return stamp{t.UnixNano(), absolute}, true
	}
	return stamp{t.UnixNano(), wallClock}, true
}

// stateLayout takes the time_format of the job sheet into the clock.
func (l *layout) stateLayout() error {
	l.clock.shown = true
	switch strings.ToLower(strings.TrimSpace(l.entry.TimeFormat)) {
	case excelFormat:
		l.clock.kind = excelDates
		return nil
	case unixFormat:
		l.clock.kind = unixSeconds
		return nil
	case secondsFormat:
		l.clock.kind, l.clock.unit = elapsedUnits, float64(second)
		return nil
	}
	l.clock.kind = statedLayout
	var wrong string
	if l.clock.layout, wrong = newTimeLayout(l.entry.TimeFormat); wrong == "" {
		return nil
	}
	return place.NewError(l.where(l.times[0]), wording.Say("log.time-format", wording.Values{"why": wrong, "found": l.entry.TimeFormat}))
}

// layoutsFor returns the two layouts that a date with an open order of day and
// month can have, for the message that asks which.
func layoutsFor(cell []byte) (dayBefore, monthBefore string) {
	text := string(cell)
	_, an := leadingNumber(cell)
	if an == 0 || an >= len(text) {
		return "2/1/2006 15:04:05", "1/2/2006 15:04:05"
	}
	separator := text[an : an+1]
	rest := ""
	if at := strings.IndexAny(text, " T"); at > 0 {
		rest = text[at:at+1] + "15:04:05"
		if strings.Count(text, ":") == 1 {
			rest = text[at:at+1] + "15:04"
		}
		if half, _ := dayHalf([]byte(text[max(0, len(text)-2):])); half != 0 {
			rest = strings.Replace(rest, "15", "3", 1) + " PM"
		}
	}
	date := func(a, b string) string { return a + separator + b + separator + "2006" + rest }
	return date("2", "1"), date("1", "2")
}
