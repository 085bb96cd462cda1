package record

import (
	"strings"

	"fieldheld/ingest/place"
)

// The words that time_format may hold instead of a layout, for numbers that do
// not show what they count.
const (
	excelFormat   = "excel"
	unixFormat    = "unix"
	secondsFormat = "seconds"
)

// stateLayout takes the time_format of the job sheet into the clock.
func (l *layout) stateLayout() error {
	l.orderShown = true
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
	return &place.Error{Messages: place.Messages{{
		Place: l.where(l.times[0]), What: "the time_format of the job sheet cannot be used: " + wrong,
		Found:    "“" + l.entry.TimeFormat + "”",
		Expected: "the time 2006-01-02 15:04:05 as the file would write it, or excel, unix or seconds",
		Hint:     "correct time_format in the job sheet's entry",
	}}}
}
