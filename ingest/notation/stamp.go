package notation

import (
	"strings"
	"time"
)

// Form is what a stamp counts from.
type Form uint8

// What a stamp can count from.
const (
	Absolute  Form = iota // from 1970-01-01 00:00 UTC
	WallClock             // the same, as if the zone were UTC
	TimeOfDay             // from midnight of a day that is not written
	DateAlone             // a date alone: midnight, as if the zone were UTC
	Elapsed               // from the start of the file
)

// Stamp is a time as a cell writes it, in nanoseconds.
type Stamp struct {
	Nanoseconds int64
	Form        Form
}

// StampOf is the stamp of an instant.
func StampOf(t time.Time) Stamp { return Stamp{t.UnixNano(), Absolute} }

// WallStampOf is what a clock on the wall of the time's zone shows.
func WallStampOf(t time.Time) Stamp {
	_, offset := t.Zone()
	return Stamp{t.UnixNano() + int64(offset)*second, WallClock}
}

// Date is the day that a stamp with a date falls on.
func (s Stamp) Date() time.Time { return time.Unix(0, s.Nanoseconds-mod(s.Nanoseconds, day)).UTC() }

// String writes the time as a clock on a wall shows it.
func (s Stamp) String() string {
	return time.Unix(0, s.Nanoseconds).UTC().Format("2006-01-02 15:04:05")
}

const (
	second = int64(time.Second)
	minute = 60 * second
	hour   = 60 * minute
	day    = 24 * hour
)

// LeadingNumber reads the digits that the text begins with.
func LeadingNumber(text []byte) (value, length int) {
	for length < len(text) && length < 9 && text[length]-'0' <= 9 {
		value = value*10 + int(text[length]-'0')
		length++
	}
	return value, length
}

// parseClock reads a time of day at the start of the cell: 8:27, 08:27:00.125,
// 08:27:00,125, 8:27:00 pm. It returns nanoseconds from midnight.
func parseClock(cell []byte) (ns int64, length int, ok bool) {
	h, hn := LeadingNumber(cell)
	if hn == 0 || hn > 2 || hn >= len(cell) || cell[hn] != ':' && cell[hn] != '.' {
		return 0, 0, false
	}
	separator := cell[hn]
	m, mn := LeadingNumber(cell[hn+1:])
	i := hn + 1 + mn
	if mn != 2 || m > 59 {
		return 0, 0, false
	}
	s, fraction := 0, int64(0)
	if i < len(cell) && cell[i] == separator {
		var sn int
		if s, sn = LeadingNumber(cell[i+1:]); sn != 2 || s > 59 {
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
	if len(digits) != 4 || !OnlyDigits(digits) {
		return 0, false
	}
	h, _ := LeadingNumber([]byte(digits[:2]))
	m, _ := LeadingNumber([]byte(digits[2:]))
	if h > 14 || m > 59 {
		return 0, false
	}
	offset = int64(h)*hour + int64(m)*minute
	if s[0] == '-' {
		offset = -offset
	}
	return offset, true
}

// ParseStamp reads a time in words and digits: date and time of day in the
// common orders, RFC 3339, or a time of day alone.
func ParseStamp(cell []byte, order DateOrder) (Stamp, DateEvidence, bool) {
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
			return Stamp{days * day, DateAlone}, evidence, true
		}
		if len(rest) == len(cell)-length {
			return Stamp{}, evidence, false // nothing parts the date from what follows
		}
	}
	ns, length, ok := parseClock(rest)
	if !ok {
		return Stamp{}, evidence, false
	}
	form := TimeOfDay
	if dated {
		form, ns = WallClock, days*day+ns
	}
	if length < len(rest) {
		offset, ok := parseZone(rest[length:])
		if !ok || !dated {
			return Stamp{}, evidence, false
		}
		form, ns = Absolute, ns-offset
	}
	return Stamp{ns, form}, evidence, true
}
