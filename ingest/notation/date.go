package notation

import (
	"strings"

	"fieldheld/ingest/spelling"
)

// DateOrder is the order in which a file writes the parts of its dates. Dates
// that begin with the year need none.
type DateOrder int

// The orders of day and month.
const (
	OrderUnknown DateOrder = iota
	DayFirst
	MonthFirst
)

// String says the order in words.
func (o DateOrder) String() string {
	switch o {
	case DayFirst:
		return "day before month"
	case MonthFirst:
		return "month before day"
	}
	return "not shown"
}

// DateEvidence is what dates of a file show about the order of their parts.
type DateEvidence struct{ Day, Month bool }

// Order returns what the evidence shows; where it shows both, nothing.
func (e DateEvidence) Order() DateOrder {
	switch {
	case e.Day && !e.Month:
		return DayFirst
	case e.Month && !e.Day:
		return MonthFirst
	}
	return OrderUnknown
}

// Add takes in what another date shows.
func (e *DateEvidence) Add(other DateEvidence) {
	e.Day, e.Month = e.Day || other.Day, e.Month || other.Month
}

// civilDays counts the days from 1970-01-01 to a date of the Gregorian
// calendar; ok is false for a date that does not exist.
func civilDays(year, month, dayOfMonth int) (int64, bool) {
	if month < 1 || month > 12 || dayOfMonth < 1 || dayOfMonth > 31 || year < 1678 || year > 2261 {
		return 0, false
	}
	if dayOfMonth > 28 && dayOfMonth > daysIn(year, month) {
		return 0, false
	}
	// Years are counted from March, so that the leap day is the last of its year.
	y, m := int64(year), int64(month)
	if m <= 2 {
		y--
		m += 12
	}
	return 365*y + y/4 - y/100 + y/400 + (153*(m-3)+2)/5 + int64(dayOfMonth) - 719469, true
}

func daysIn(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// parseDate reads a date at the start of the cell and returns how much of the
// cell it takes. An order that is not known yet is taken as day before month
// where the date itself does not show it; evidence says what it shows.
func parseDate(cell []byte, order DateOrder) (days int64, length int, evidence DateEvidence, ok bool) {
	a, an := LeadingNumber(cell)
	switch {
	case an == 8:
		days, ok = civilDays(a/10000, a/100%100, a%100)
		return days, 8, evidence, ok
	case an == 0 || an > 4 || an == 3 || an >= len(cell):
		return parseNamedDate(cell)
	}
	separator := cell[an]
	if separator != '-' && separator != '/' && separator != '.' {
		return parseNamedDate(cell)
	}
	b, bn := LeadingNumber(cell[an+1:])
	at := an + 1 + bn
	if bn == 0 || bn > 2 || at >= len(cell) || cell[at] != separator {
		return parseNamedDate(cell)
	}
	c, cn := LeadingNumber(cell[at+1:])
	length = at + 1 + cn
	switch {
	case an == 4 && cn >= 1 && cn <= 2:
		days, ok = civilDays(a, b, c)
	case an <= 2 && cn == 4:
		evidence = DateEvidence{Day: a > 12 && b <= 12, Month: b > 12 && a <= 12}
		if order == MonthFirst || order == OrderUnknown && evidence.Month {
			a, b = b, a
		}
		days, ok = civilDays(c, b, a)
	}
	return days, length, evidence, ok
}

// parseNamedDate reads dates with the name of the month: 18-Nov-2026,
// 18. November 2026, Nov 18, 2026.
func parseNamedDate(cell []byte) (days int64, length int, evidence DateEvidence, ok bool) {
	i, numbers, month := 0, []int(nil), 0
	for i < len(cell) && (len(numbers) < 2 || month == 0) {
		switch c := cell[i]; {
		case c >= '0' && c <= '9':
			n, size := LeadingNumber(cell[i:])
			if len(numbers) == 2 || size > 4 {
				return 0, 0, evidence, false
			}
			numbers = append(numbers, n)
			i += size
		case c == ' ' || c == '-' || c == '.' || c == ',' || c == '/':
			i++
		default:
			end := i
			for end < len(cell) && (cell[end] >= 'A' && cell[end] <= 'Z' || cell[end] >= 'a' && cell[end] <= 'z' || cell[end] >= 0x80) {
				end++
			}
			if month != 0 || end == i {
				return 0, 0, evidence, false
			}
			if month = monthNamed(string(cell[i:end])); month == 0 {
				return 0, 0, evidence, false
			}
			i = end
		}
	}
	if len(numbers) != 2 || month == 0 {
		return 0, 0, evidence, false
	}
	dayOfMonth, year := numbers[0], numbers[1]
	if dayOfMonth > 31 {
		dayOfMonth, year = year, dayOfMonth
	}
	days, ok = civilDays(year, month, dayOfMonth)
	return days, i, evidence, ok
}

// monthNames are the beginnings of the names of the months, enough to tell them
// apart, in the languages of the header words.
var monthNames = [12]string{
	"jan ene gen janv tammi", "feb fev fevr helmi", "mar mrz marz mars maalis", "apr avr abr huhti",
	"may mai mag maj mayo mei touko", "jun juin giu kesa", "jul juil lug heina", "aug aou ago aout elo",
	"sep sept set syys", "oct okt ott loka", "nov marras", "dec dez des dic joulu",
}

// monthNamed returns the number of the month that the word names, or 0.
func monthNamed(word string) int {
	folded := spelling.Fold(word)
	if len(folded) < 3 {
		return 0
	}
	best, length := 0, 0
	for i, names := range monthNames {
		for _, name := range strings.Fields(names) {
			if strings.HasPrefix(folded, name) && len(name) > length {
				best, length = i+1, len(name)
			}
		}
	}
	return best
}

// HasOrder reports whether a cell begins with a date that has day and month before
// the year, so that their order matters.
func HasOrder(cell []byte, order DateOrder) bool {
	if _, n := LeadingNumber(cell); n != 1 && n != 2 {
		return false
	}
	_, length, _, ok := parseDate(cell, order)
	return ok && length > 0
}

// CompactDate reports whether eight digits can be a date such as 20261118.
func CompactDate(cell []byte) bool {
	_, length, _, ok := parseDate(cell, OrderUnknown)
	return ok && length == 8 && len(cell) == 8
}

// AmbiguousDate reports whether day and month of a date could be exchanged for
// another date.
func AmbiguousDate(cell []byte) bool {
	early, n, _, a := parseDate(cell, DayFirst)
	late, _, _, b := parseDate(cell, MonthFirst)
	return a && b && n > 0 && early != late
}
