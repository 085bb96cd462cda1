package record

import (
	"bytes"
	"math"
	"strconv"
	"time"
)

// clockKind is how a file writes its times.
type clockKind int

const (
	calendarTimes clockKind = iota // date and time of day
	dayTimes                       // time of day alone
	excelDates                     // days of a workbook's calendar
	unixSeconds                    // seconds since 1970-01-01 00:00 UTC
	elapsedUnits                   // a number of units since a start
	elapsedClock                   // h:mm:ss since a start
	statedLayout                   // as the job sheet's time_format says
)

// clock reads the times of one file.
type clock struct {
	kind     clockKind
	order    dateOrder
	shown    bool    // whether order is shown or stated; else it is assumed
	unit     float64 // of elapsedUnits, in nanoseconds
	date1904 bool
	rounded  bool // to the millisecond, as times of workbooks are
	layout   timeLayout
	numbers  notation
}

// excelDay0 is the day that workbooks count from, and excelDay1904 that of the
// other calendar they know, in days from 1970-01-01.
const (
	excelDay0    = -25569
	excelDay1904 = -24107
)

// parse reads a time from its cell, with the date from a cell of its own where
// the file has a column for it.
func (c *clock) parse(cell, date []byte) (stamp, dateEvidence, bool) {
	s, evidence, ok := c.read(cell, date)
	if ok && c.rounded {
		s.ns = roundTo(s.ns, int64(time.Millisecond))
	}
	return s, evidence, ok
}

func (c *clock) read(cell, date []byte) (stamp, dateEvidence, bool) {
	switch c.kind {
	case unixSeconds:
		ns, ok := c.unixNanoseconds(cell)
		return stamp{ns, absolute}, dateEvidence{}, ok
	case elapsedUnits:
		ns, ok := c.scaled(cell, c.unit)
		return stamp{ns, elapsedSince}, dateEvidence{}, ok
	case elapsedClock:
		ns, ok := parseSpan(cell)
		return stamp{ns, elapsedSince}, dateEvidence{}, ok
	case statedLayout:
		if c.layout.date && c.layout.clock && len(date) > 0 {
			s, ok := c.layout.parse(bytes.Join([][]byte{date, cell}, []byte(" ")))
			return s, dateEvidence{}, ok
		}
	}
	t, evidence, ok := c.timeStamp(cell)
	if !ok || t.form != timeOfDay || len(date) == 0 {
		return t, evidence, ok
	}
	d, evidence, ok := c.dateStamp(date)
	return stamp{d.ns + t.ns, wallClock}, evidence, ok
}

// timeStamp reads the cell of a time column.
func (c *clock) timeStamp(cell []byte) (stamp, dateEvidence, bool) {
	if c.kind == statedLayout && c.layout.clock {
		s, ok := c.layout.parse(cell)
		return s, dateEvidence{}, ok
	}
	if s, ok := c.excelStamp(cell); ok {
		return s, dateEvidence{}, true
	}
	return parseStamp(cell, c.order)
}

// dateStamp reads the cell of a date column.
func (c *clock) dateStamp(date []byte) (stamp, dateEvidence, bool) {
	if c.kind == statedLayout && c.layout.date && !c.layout.clock {
		s, ok := c.layout.parse(date)
		return s, dateEvidence{}, ok
	}
	if s, ok := c.excelStamp(date); ok {
		return s, dateEvidence{}, s.form == wallClock && s.ns%day == 0
	}
	d, evidence, ok := parseStamp(date, c.order)
	if ok && d.form == wallClock && d.ns%day == 0 {
		d.form = sinceDate // a date that a spreadsheet wrote out with 00:00
	}
	return d, evidence, ok && d.form == sinceDate
}

// excelStamp reads a number of a workbook as a date, or as a time of day where
// it is a fraction of one.
func (c *clock) excelStamp(cell []byte) (stamp, bool) {
	if !c.rounded && c.kind != excelDates || len(cell) == 0 || cell[0] < '0' || cell[0] > '9' {
		return stamp{}, false
	}
	n, ok := c.numbers.parse(cell)
	if !ok || n.value < 0 || n.value >= 100000 {
		return stamp{}, false
	}
	ns := int64(math.Round(n.value*86400000)) * int64(time.Millisecond)
	if n.value < 1 {
		return stamp{ns, timeOfDay}, true
	}
	from := int64(excelDay0)
	switch {
	case c.date1904:
		from = excelDay1904
	case n.value < 61:
		return stamp{}, false // before the day that the calendar has and the year 1900 had not
	}
	return stamp{from*day + ns, wallClock}, true
}

// unixNanoseconds reads seconds since 1970, or thousandths and finer parts of
// them, which their size tells apart: a second count of this century has ten
// digits.
func (c *clock) unixNanoseconds(cell []byte) (int64, bool) {
	n, ok := c.numbers.parse(cell)
	if !ok || n.value < 0 {
		return 0, false
	}
	return c.scaled(cell, unixUnit(n.value))
}

// unixUnit is the unit of a Unix time by its size, in nanoseconds.
func unixUnit(value float64) float64 {
	unit := float64(time.Second)
	for limit := 1e11; value >= limit && unit > 1; limit *= 1000 {
		unit /= 1000
	}
	return unit
}

// scaled reads a number of units as nanoseconds, exactly where text writes it.
func (c *clock) scaled(cell []byte, unit float64) (int64, bool) {
	if ns, ok := exactNanoseconds(cell, c.numbers.decimal, int64(unit)); ok {
		return ns, true
	}
	n, ok := c.numbers.parse(cell)
	if !ok || n.places < 0 || math.Abs(n.value*unit) >= math.MaxInt64/2 {
		return 0, false // an exponent that hides digits, as in 1.795E+09, tells no time
	}
	return int64(math.Round(n.value * unit)), true
}

// withoutExponent writes a number with an exponent that hides no digit as plain
// digits, as far as that needs no more zeros: 1.79499e+2 is 179.499.
func withoutExponent(cell []byte, decimal byte) []byte {
	at := bytes.IndexAny(cell, "eE")
	if at < 0 || !isExponent(string(cell[at+1:])) {
		return cell
	}
	shift, err := strconv.Atoi(string(cell[at+1:]))
	whole, fraction, _ := bytes.Cut(cell[:at], []byte{decimal})
	if err != nil || shift < 0 || shift > len(fraction) {
		return cell
	}
	return bytes.Join([][]byte{whole, fraction[:shift], {decimal}, fraction[shift:]}, nil)
}

// exactNanoseconds reads decimal digits without going through a float64.
func exactNanoseconds(cell []byte, decimal byte, unit int64) (int64, bool) {
	cell = withoutExponent(cell, decimal)
	whole, fraction, _ := bytes.Cut(cell, []byte{decimal})
	negative := len(whole) > 0 && whole[0] == '-'
	if negative {
		whole = whole[1:]
	}
	if len(whole) == 0 || !onlyDigits(string(whole)) || !onlyDigits(string(fraction)) {
		return 0, false
	}
	n, err := strconv.ParseInt(string(whole), 10, 64)
	if err != nil || n >= math.MaxInt64/2/unit {
		return 0, false
	}
	ns, part := n*unit, unit
	for _, d := range fraction {
		if part%10 != 0 {
			if d != '0' {
				return 0, false
			}
			continue
		}
		part /= 10
		ns += int64(d-'0') * part
	}
	if negative {
		ns = -ns
	}
	return ns, true
}

// parseSpan reads a time that has passed, h:mm:ss with any fraction.
func parseSpan(cell []byte) (int64, bool) {
	parts := bytes.Split(cell, []byte(":"))
	if len(parts) != 3 || len(parts[0]) == 0 || len(parts[0]) > 4 || len(parts[1]) != 2 {
		return 0, false
	}
	h, hn := leadingNumber(parts[0])
	m, mn := leadingNumber(parts[1])
	s, ok := exactNanoseconds(bytes.Replace(parts[2], []byte(","), []byte("."), 1), '.', second)
	if hn != len(parts[0]) || mn != 2 || m > 59 || !ok || s < 0 || s >= minute {
		return 0, false
	}
	return int64(h)*hour + int64(m)*minute + s, true
}

func roundTo(ns, unit int64) int64 {
	half := unit / 2
	if ns < 0 {
		half = -half
	}
	return (ns + half) / unit * unit
}
