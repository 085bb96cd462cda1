package record

import (
	"bytes"
	"math"
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
		ns, ok := c.numbers.unixNanoseconds(cell)
		return stamp{ns, absolute}, dateEvidence{}, ok
	case elapsedUnits:
		ns, ok := c.numbers.nanoseconds(cell, c.unit)
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
