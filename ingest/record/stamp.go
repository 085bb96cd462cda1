package record

import (
	"strings"
	"time"
)

// dateOrder is the order in which a file writes the parts of its dates. Dates
// that begin with the year need none.
type dateOrder int

const (
	orderUnknown dateOrder = iota
	dayFirst
	monthFirst
)

func (o dateOrder) String() string {
	switch o {
	case dayFirst:
		return "day before month"
	case monthFirst:
		return "month before day"
	}
	return "not shown"
}

// stampForm is what a stamp counts from.
type stampForm uint8

const (
	absolute  stampForm = iota // from 1970-01-01 00:00 UTC
	wallClock                  // the same, as if the zone were UTC
	timeOfDay                  // from midnight of a day that is not written
	sinceDate                  // a date alone: midnight, as if the zone were UTC
)

// stamp is a time as a cell writes it, in nanoseconds.
type stamp struct {
	ns   int64
	form stampForm
}

const (
	second = int64(time.Second)
	minute = 60 * second
	hour   = 60 * minute
	day    = 24 * hour
)

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

// dateEvidence is what dates of a file show about the order of their parts.
type dateEvidence struct{ day, month bool }

// parseDate reads a date at the start of the cell and returns how much of the
// cell it takes. An order that is not known yet is taken as day before month
// where the date itself does not show it; evidence says what it shows.
func parseDate(cell []byte, order dateOrder) (days int64, length int, evidence dateEvidence, ok bool) {
	a, an := leadingNumber(cell)
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
	b, bn := leadingNumber(cell[an+1:])
	at := an + 1 + bn
	if bn == 0 || bn > 2 || at >= len(cell) || cell[at] != separator {
		return parseNamedDate(cell)
	}
	c, cn := leadingNumber(cell[at+1:])
	length = at + 1 + cn
	switch {
	case an == 4 && cn >= 1 && cn <= 2:
		days, ok = civilDays(a, b, c)
	case an <= 2 && cn == 4:
		evidence = dateEvidence{day: a > 12 && b <= 12, month: b > 12 && a <= 12}
		if order == monthFirst || order == orderUnknown && evidence.month {
			a, b = b, a
		}
		days, ok = civilDays(c, b, a)
	}
	return days, length, evidence, ok
}

// parseNamedDate reads dates with the name of the month: 18-Nov-2026,
// 18. November 2026, Nov 18, 2026.
func parseNamedDate(cell []byte) (days int64, length int, evidence dateEvidence, ok bool) {
	i, numbers, month := 0, []int(nil), 0
	for i < len(cell) && (len(numbers) < 2 || month == 0) {
		switch c := cell[i]; {
		case c >= '0' && c <= '9':
			n, size := leadingNumber(cell[i:])
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
	folded := fold(word)
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

// leadingNumber reads the digits that the text begins with.
func leadingNumber(text []byte) (value, length int) {
	for length < len(text) && length < 9 && text[length]-'0' <= 9 {
		value = value*10 + int(text[length]-'0')
		length++
	}
	return value, length
}

// parseClock reads a time of day at the start of the cell: 8:27, 08:27:00.125,
// 08:27:00,125, 8:27:00 pm. It returns nanoseconds from midnight.
func parseClock(cell []byte) (ns int64, length int, ok bool) {
	h, hn := leadingNumber(cell)
	if hn == 0 || hn > 2 || hn >= len(cell) || cell[hn] != ':' && cell[hn] != '.' {
		return 0, 0, false
	}
	separator := cell[hn]
	m, mn := leadingNumber(cell[hn+1:])
	i := hn + 1 + mn
	if mn != 2 || m > 59 {
		return 0, 0, false
	}
	s, fraction := 0, int64(0)
	if i < len(cell) && cell[i] == separator {
		var sn int
		if s, sn = leadingNumber(cell[i+1:]); sn != 2 || s > 59 {
			return 0, 0, false
		}
		i += 1 + sn
		if i+1 < len(cell) && (cell[i] == '.' || cell[i] == ',' || cell[i] == ':') {
			var fn int
			if fraction, fn, ok = fractionOfSecond(cell[i+1:]); !ok || cell[i] == ':' && fn != 3 {
				return 0, 0, false
			}
			i += 1 + fn
		}
	} else if separator == '.' {
		return 0, 0, false // 8.27 is a number
	}
	half, hl := dayHalf(cell[i:])
	switch {
	case half == 0 && h > 23, half != 0 && (h < 1 || h > 12):
		return 0, 0, false
	case half == 'a' && h == 12:
		h = 0
	case half == 'p' && h != 12:
		h += 12
	}
	return int64(h)*hour + int64(m)*minute + int64(s)*second + fraction, i + hl, true
}

// fractionOfSecond reads digits behind the mark as nanoseconds. More than nine
// digits are finer than the clock of any log and not taken.
func fractionOfSecond(text []byte) (ns int64, length int, ok bool) {
	unit := second
	for length < len(text) && text[length]-'0' <= 9 {
		if length == 9 {
			return 0, 0, false
		}
		unit /= 10
		ns += int64(text[length]-'0') * unit
		length++
	}
	return ns, length, length > 0
}

// dayHalf reads "am" or "pm" in its spellings.
func dayHalf(text []byte) (half byte, length int) {
	if len(text) == 0 {
		return 0, 0
	}
	for _, word := range []string{"am", "pm", "a.m.", "p.m.", "a. m.", "p. m."} {
		for _, blank := range []string{"", " "} {
			if w := blank + word; len(text) >= len(w) && strings.EqualFold(string(text[:len(w)]), w) {
				length = max(length, len(w))
			}
		}
	}
	if length == 0 {
		return 0, 0
	}
	return strings.ToLower(strings.TrimSpace(string(text[:length])))[0], length
}

// parseZone reads what a time says about its zone: Z, UTC, GMT, +02:00, +0200, +02.
func parseZone(text []byte) (offset int64, ok bool) {
	s := strings.TrimSpace(string(text))
	if s == "Z" || s == "z" {
		return 0, true
	}
	for _, name := range []string{"UTC", "GMT"} {
		if rest, cut := strings.CutPrefix(s, name); cut {
			if s = rest; s == "" {
				return 0, true
			}
			break
		}
	}
	if len(s) < 2 || s[0] != '+' && s[0] != '-' {
		return 0, false
	}
	digits := strings.Replace(s[1:], ":", "", 1)
	if len(digits) == 1 {
		digits = "0" + digits
	}
	if len(digits) == 2 {
		digits += "00"
	}
	if len(digits) != 4 || !onlyDigits(digits) {
		return 0, false
	}
	h, _ := leadingNumber([]byte(digits[:2]))
	m, _ := leadingNumber([]byte(digits[2:]))
	if h > 14 || m > 59 {
		return 0, false
	}
	offset = int64(h)*hour + int64(m)*minute
	if s[0] == '-' {
		offset = -offset
	}
	return offset, true
}

// parseStamp reads a time in words and digits: date and time of day in the
// common orders, RFC 3339, or a time of day alone.
func parseStamp(cell []byte, order dateOrder) (stamp, dateEvidence, bool) {
	days, length, evidence, dated := parseDate(cell, order)
	rest := cell
	if dated {
		rest = cell[length:]
		if len(rest) > 0 && (rest[0] == 'T' || rest[0] == 't' || rest[0] == '_' || rest[0] == ',' || rest[0] == ';') {
			rest = rest[1:]
		}
		for len(rest) > 0 && rest[0] == ' ' {
			rest = rest[1:]
		}
		if len(rest) == 0 {
			return stamp{days * day, sinceDate}, evidence, true
		}
		if len(rest) == len(cell)-length {
			return stamp{}, evidence, false // nothing parts the date from what follows
		}
	}
	ns, length, ok := parseClock(rest)
	if !ok {
		return stamp{}, evidence, false
	}
	form := timeOfDay
	if dated {
		form, ns = wallClock, days*day+ns
	}
	if length < len(rest) {
		offset, ok := parseZone(rest[length:])
		if !ok || !dated {
			return stamp{}, evidence, false
		}
		form, ns = absolute, ns-offset
	}
	return stamp{ns, form}, evidence, true
}
