package record

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// digitLayouts are the ways of writing a date and a time of day without marks.
var digitLayouts = []string{
	"20060102150405", "02012006150405", "01022006150405",
	"200601021504", "060102150405", "020106150405", "010206150405", "020120061504", "010220061504",
	"0601021504", "0201061504", "0102061504",
}

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
	c := clock{kind: unixSeconds, numbers: l.numbers}
	ns, ok := c.unixNanoseconds(cell)
	return ok && l.aboutThen(time.Unix(0, ns))
}

// layoutsOfDigits lists the layouts of time that digits without marks can have.
func (l *layout) layoutsOfDigits(cell []byte) []string {
	digits, fraction, cut := strings.Cut(string(cell), ".")
	if !onlyDigits(digits) || !onlyDigits(fraction) {
		return nil
	}
	var fitting []string
	for _, text := range digitLayouts {
		at, err := time.Parse(text, digits)
		if len(text) != len(digits) || err != nil || !l.aboutThen(at) {
			continue
		}
		if cut && strings.HasSuffix(text, "05") {
			text += "." + strings.Repeat("0", len(fraction))
		}
		fitting = append(fitting, text)
	}
	return fitting
}

// askDigits is the question about large numbers in a column of times.
func (l *layout) askDigits(cell []byte) error {
	date := ""
	if !l.settings.Date.IsZero() {
		date = l.settings.Date.Format(time.DateOnly)
	}
	var ways []string
	for _, text := range l.layoutsOfDigits(cell) {
		at, _ := time.Parse(text, string(cell))
		ways = append(ways, fmt.Sprintf("time_format = %q (%s)", text, at.Format("2006-01-02 15:04:05")))
	}
	return place.NewError(l.where(l.times[0]), wording.Say("log.digits-as-times", wording.Values{"found": table.Shown(cell), "date": date, "ways": ways, "unix": unixFormat}))
}
