package notation

import "bytes"

// Memo is the short way through the times of a long log. Neighbouring rows
// share their date, so that only the time of day behind it is read: two digits
// each for hour, minute and second, and a fraction. Everything else takes the
// long way, Clock.Parse, which must give the same result.
type Memo struct {
	known  bool
	prefix []byte // the cell up to the time of day
	date   []byte // the cell of a date column
	suffix []byte // what follows the fraction: nothing, or a zone
	base   Stamp  // of midnight
}

// Learn keeps the date of a time that the long way read.
func (m *Memo) Learn(c *Clock, cell, date []byte, s Stamp) {
	m.known = false
	if c.Kind != CalendarTimes && c.Kind != DayTimes || c.Rounded || s.Form == DateAlone {
		return
	}
	colon := bytes.IndexByte(cell, ':')
	if colon < 2 {
		return
	}
	ns, length, ok := plainClock(cell[colon-2:])
	if !ok {
		return
	}
	m.prefix = append(m.prefix[:0], cell[:colon-2]...)
	m.suffix = append(m.suffix[:0], cell[colon-2+length:]...)
	m.date = append(m.date[:0], date...)
	m.base = Stamp{s.Nanoseconds - ns, s.Form}
	m.known = plainSuffix(m.suffix)
}

// plainSuffix reports whether a time of day and what follows it are independent
// of each other, as they are not with "pm".
func plainSuffix(suffix []byte) bool {
	if len(suffix) == 0 || string(suffix) == "Z" {
		return true
	}
	_, ok := parseZone(suffix)
	return ok
}

// Recall reads a time with the date of the row before.
func (m *Memo) Recall(cell, date []byte) (Stamp, bool) {
	if !m.known || len(cell) < len(m.prefix)+8 || !bytes.Equal(cell[:len(m.prefix)], m.prefix) || !bytes.Equal(date, m.date) {
		return Stamp{}, false
	}
	rest := cell[len(m.prefix):]
	ns, length, ok := plainClock(rest)
	if !ok || !bytes.Equal(rest[length:], m.suffix) {
		return Stamp{}, false
	}
	return Stamp{m.base.Nanoseconds + ns, m.base.Form}, true
}

// plainClock reads hh:mm:ss with a fraction of up to nine digits.
func plainClock(text []byte) (ns int64, length int, ok bool) {
	if len(text) < 8 || text[2] != ':' || text[5] != ':' {
		return 0, 0, false
	}
	h, okH := twoDigits(text[0], text[1])
	m, okM := twoDigits(text[3], text[4])
	s, okS := twoDigits(text[6], text[7])
	if !okH || !okM || !okS || h > 23 || m > 59 || s > 59 {
		return 0, 0, false
	}
	ns = (h*3600 + m*60 + s) * second
	if len(text) < 10 || text[8] != '.' && text[8] != ',' {
		return ns, 8, true
	}
	fraction, i := int64(0), 9
	for ; i < len(text) && text[i]-'0' <= 9; i++ {
		fraction = fraction*10 + int64(text[i]-'0')
	}
	if digits := i - 9; digits > 0 && digits <= 9 {
		return ns + fraction*nanosecondsPer[digits], i, true
	}
	return 0, 0, false
}

// nanosecondsPer is how many nanoseconds the last of so many digits counts.
var nanosecondsPer = [10]int64{1e9, 1e8, 1e7, 1e6, 1e5, 1e4, 1e3, 1e2, 1e1, 1}

func twoDigits(a, b byte) (int64, bool) {
	a, b = a-'0', b-'0'
	return int64(a)*10 + int64(b), a <= 9 && b <= 9
}
