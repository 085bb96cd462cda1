package record

import (
	"strings"
	"time"

	"fieldheld/ingest/notation"
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
		l.clock.Kind = notation.ExcelDates
		return nil
	case unixFormat:
		l.clock.Kind = notation.UnixSeconds
		return nil
	case secondsFormat:
		l.clock.Kind, l.clock.Unit = notation.ElapsedUnits, float64(time.Second)
		return nil
	}
	l.clock.Kind = notation.StatedLayout
	var wrong string
	if l.clock.Layout, wrong = notation.NewLayout(l.entry.TimeFormat); wrong == "" {
		return nil
	}
	return &place.Error{Messages: place.Messages{{
		Place: l.where(l.times[0]), What: "the time_format of the job sheet cannot be used: " + wrong,
		Found:    "“" + l.entry.TimeFormat + "”",
		Expected: "the time 2006-01-02 15:04:05 as the file would write it, or excel, unix or seconds",
		Hint:     "correct time_format in the job sheet's entry",
	}}}
}
