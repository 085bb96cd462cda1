package record

import (
	"strings"
	"time"
)

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

// stampOf is the stamp of an instant.
func stampOf(t time.Time) stamp { return stamp{t.UnixNano(), absolute} }

// wallStampOf is what a clock on the wall of the time's zone shows.
func wallStampOf(t time.Time) stamp {
	_, offset := t.Zone()
	return stamp{t.UnixNano() + int64(offset)*second, wallClock}
}

// date is the day that a stamp with a date falls on.
func (s stamp) date() time.Time { return time.Unix(0, s.ns-mod(s.ns, day)).UTC() }

// String writes the time as a clock on a wall shows it.
func (s stamp) String() string { return time.Unix(0, s.ns).UTC().Format("2006-01-02 15:04:05") }

const (
	second = int64(time.Second)
	minute = 60 * second
	hour   = 60 * minute
	day    = 24 * hour
)

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
