package record

import (
	"fmt"
	"time"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// yearsAround is how far from the report's date a time may lie that is told by
// its digits alone (day.md, what a cell means).
const yearsAround = 10

// aboutThen reports whether an instant is near enough to the report's date for a
// number to be taken for it; where that date is not known, whether it lies in the
// years in which such logs are written.
func (l *layout) aboutThen(at time.Time) bool {
	if date := l.settings.Date; !date.IsZero() {
		return at.After(date.AddDate(-yearsAround, 0, 0)) && at.Before(date.AddDate(yearsAround, 0, 0))
	}
	return at.Year() >= 2000 && at.Year() < 2060
}

// unixFits reports whether a number of a time column can be Unix time.
func (l *layout) unixFits(cell []byte) bool {
	at, ok := l.numbers.UnixTime(cell)
	return ok && l.aboutThen(time.Unix(0, int64(at)))
}

// askDigits is the question about large numbers in a column of times.
func (l *layout) askDigits(cell []byte) error {
	date := ""
	if !l.settings.Date.IsZero() {
		date = l.settings.Date.Format(time.DateOnly)
	}
	var ways []string
	for _, text := range notation.LayoutsOfDigits(cell, l.aboutThen) {
		at, _ := time.Parse(text, string(cell))
		ways = append(ways, fmt.Sprintf("time_format = %q (%s)", text, at.Format("2006-01-02 15:04:05")))
	}
	return place.NewError(l.where(l.times[0]), wording.Say("log.digits-as-times", wording.Values{"found": table.Shown(cell), "date": date, "ways": ways, "unix": unixFormat}))
}
