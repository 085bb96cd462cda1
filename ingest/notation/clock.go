package notation

import (
	"bytes"
	"math"
	"time"
)

// ClockKind is how a file writes its times.
type ClockKind int

// The ways of writing times.
const (
	CalendarTimes ClockKind = iota // date and time of day
	DayTimes                       // time of day alone
	ExcelDates                     // days of a workbook's calendar
	UnixSeconds                    // seconds since 1970-01-01 00:00 UTC
	ElapsedUnits                   // a number of units since a start
	ElapsedClock                   // h:mm:ss since a start
	StatedLayout                   // by a layout that is stated
)

// Clock reads the times of one file.
type Clock struct {
	Kind     ClockKind
	Order    DateOrder
	Unit     float64 // of ElapsedUnits, in nanoseconds
	Date1904 bool
	Rounded  bool // to the millisecond, as times of workbooks are
	Layout   Layout
	Numbers  Numbers
}

// excelDay0 is the day that workbooks count from, and excelDay1904 that of the
// other calendar they know, in days from 1970-01-01.
const (
	excelDay0    = -25569
	excelDay1904 = -24107
)

// Parse reads a time from its cell, with the date from a cell of its own where
// the file has a column for it.
func (c *Clock) Parse(cell, date []byte) (Stamp, DateEvidence, bool) {
	s, evidence, ok := c.read(cell, date)
	if ok && c.Rounded {
		s.Nanoseconds = roundTo(s.Nanoseconds, int64(time.Millisecond))
	}
	return s, evidence, ok
}

func (c *Clock) read(cell, date []byte) (Stamp, DateEvidence, bool) {
	switch c.Kind {
	case UnixSeconds:
		at, ok := c.Numbers.UnixTime(cell)
		return Stamp{int64(at), Absolute}, DateEvidence{}, ok
	case ElapsedUnits:
		passed, ok := c.Numbers.Duration(cell, c.Unit)
		return Stamp{int64(passed), Elapsed}, DateEvidence{}, ok
	case ElapsedClock:
		passed, ok := ParseSpan(cell)
		return Stamp{int64(passed), Elapsed}, DateEvidence{}, ok
	case StatedLayout:
		if c.Layout.Date && c.Layout.clock && len(date) > 0 {
			s, ok := c.Layout.parse(bytes.Join([][]byte{date, cell}, []byte(" ")))
			return s, DateEvidence{}, ok
		}
	}
	t, evidence, ok := c.timeStamp(cell)
	if !ok || t.Form != TimeOfDay || len(date) == 0 {
		return t, evidence, ok
	}
	d, evidence, ok := c.ParseDate(date)
	return Stamp{d.Nanoseconds + t.Nanoseconds, WallClock}, evidence, ok
}

// timeStamp reads the cell of a time column.
func (c *Clock) timeStamp(cell []byte) (Stamp, DateEvidence, bool) {
	if c.Kind == StatedLayout && c.Layout.clock {
		s, ok := c.Layout.parse(cell)
		return s, DateEvidence{}, ok
	}
	if s, ok := c.excelStamp(cell); ok {
		return s, DateEvidence{}, true
	}
	return ParseStamp(cell, c.Order)
}

// ParseDate reads the cell of a date column.
func (c *Clock) ParseDate(date []byte) (Stamp, DateEvidence, bool) {
	if c.Kind == StatedLayout && c.Layout.Date && !c.Layout.clock {
		s, ok := c.Layout.parse(date)
		return s, DateEvidence{}, ok
	}
	if s, ok := c.excelStamp(date); ok {
		return s, DateEvidence{}, s.Form == WallClock && s.Nanoseconds%day == 0
	}
	d, evidence, ok := ParseStamp(date, c.Order)
	if ok && d.Form == WallClock && d.Nanoseconds%day == 0 {
		d.Form = DateAlone // a date that a spreadsheet wrote out with 00:00
	}
	return d, evidence, ok && d.Form == DateAlone
}

// excelStamp reads a number of a workbook as a date, or as a time of day where
// it is a fraction of one.
func (c *Clock) excelStamp(cell []byte) (Stamp, bool) {
	if !c.Rounded && c.Kind != ExcelDates || len(cell) == 0 || cell[0] < '0' || cell[0] > '9' {
		return Stamp{}, false
	}
	n, ok := c.Numbers.Parse(cell)
	if !ok || n.Value < 0 || n.Value >= 100000 {
		return Stamp{}, false
	}
	ns := int64(math.Round(n.Value*86400000)) * int64(time.Millisecond)
	if n.Value < 1 {
		return Stamp{ns, TimeOfDay}, true
	}
	from := int64(excelDay0)
	switch {
	case c.Date1904:
		from = excelDay1904
	case n.Value < 61:
		return Stamp{}, false // before the day that the calendar has and the year 1900 had not
	}
	return Stamp{from*day + ns, WallClock}, true
}
