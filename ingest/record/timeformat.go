package record

import (
	"strings"
	"time"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
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
	var wrong wording.Text
	if l.clock.Layout, wrong = notation.NewLayout(l.entry.TimeFormat); wrong.IsZero() {
		return nil
	}
	return place.NewError(l.where(l.times[0]), wording.Say("log.time-format", wording.Values{"why": wrong, "found": l.entry.TimeFormat}))
}
