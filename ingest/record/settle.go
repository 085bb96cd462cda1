package record

import (
	"fmt"
	"time"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// timeColumns returns the columns of times that are read: those of a dwell
// record, or the one of a log. Elapsed times only count where nothing else does.
func (l *layout) timeColumns() []table.Column {
	switch {
	case l.has(table.Start) && l.has(table.End):
		return []table.Column{table.Start, table.End}
	case l.has(table.Start):
		return []table.Column{table.Start}
	}
	for _, c := range clockColumns {
		if l.has(c) {
			return []table.Column{c}
		}
	}
	return nil
}

// settleClock finds out how the file writes its times.
func (l *layout) settleClock() error {
	if l.kind == registerKind {
		l.settleRegister()
		return nil
	}
	columns := l.timeColumns()
	if len(columns) == 0 {
		l.clock.shown = true
		return nil
	}
	for _, c := range columns {
		l.times = append(l.times, l.columns[c])
	}
	l.settleDates(columns)
	main := columns[0]
	l.clock = clock{rounded: l.file.Workbook(), date1904: l.file.Date1904(), numbers: l.numbers}
	l.timeline = timeline{shift: int64(l.entry.ClockOffset)}
	err := l.settleZone()
	switch {
	case err != nil:
	case l.entry.TimeFormat != "":
		err = l.stateLayout()
	case main == unixTime:
		l.clock.kind = unixSeconds
		err = l.checkUnix()
	default:
		err = l.sampleTimes(main)
	}
	if err != nil {
		return err
	}
	l.settleOrder()
	return l.settleStart(main)
}

// settleDates gives the columns of times those of their dates.
func (l *layout) settleDates(columns []table.Column) {
	common := l.columns[table.Date]
	for i, c := range columns {
		switch {
		case c == table.Start && l.has(startDate):
			l.times[i].date = l.columns[startDate]
		case c == table.End && l.has(endDate):
			l.times[i].date = l.columns[endDate]
		case c == table.End && l.has(startDate):
			l.times[i].date = l.columns[startDate]
		case c == table.Time, c == table.Start, c == table.End:
			l.times[i].date = common
		}
	}
}

// sampleTimes tells from the first rows how the times are written.
func (l *layout) sampleTimes(main table.Column) error {
	column := l.times[0]
	for i := range l.sample {
		cell, date := column.of(&l.sample[i]), column.date.of(&l.sample[i])
		if len(cell) == 0 {
			continue
		}
		if main == elapsedTime {
			if l.sampleElapsed(cell) {
				return nil
			}
			continue
		}
		if number, ok := l.numbers.parse(cell); ok && !isCompactDate(cell) {
			return l.sampleNumber(main, number.value, cell, date)
		}
		if s, _, ok := l.clock.parse(cell, date); ok {
			if s.form == timeOfDay {
				l.clock.kind = dayTimes
			}
			return nil
		}
	}
	return nil
}

// checkUnix asks where the first number of a column of Unix time lies too far from
// the report's date: it counts something else.
func (l *layout) checkUnix() error {
	for i := range l.sample {
		cell := l.times[0].of(&l.sample[i])
		if n, ok := l.numbers.parse(cell); ok && n.value > 0 {
			if !l.settings.Date.IsZero() && !l.unixFits(cell) {
				return l.askDigits(cell)
			}
			return nil
		}
	}
	return nil
}

// sampleElapsed tells elapsed numbers from h:mm:ss.
func (l *layout) sampleElapsed(cell []byte) bool {
	if _, ok := l.numbers.parse(cell); ok {
		perUnit, isTime := quantity.TimeUnitSeconds(l.times[0].unit)
		if !isTime {
			perUnit = 1
		}
		l.clock.kind, l.clock.unit = elapsedUnits, perUnit*float64(time.Second)
		return true
	}
	l.clock.kind = elapsedClock
	_, ok := parseSpan(cell)
	return ok
}

// sampleNumber tells what the numbers of a time column count: seconds since
// 1970, which are large, units since a start where the column has one, or the
// days of a workbook.
func (l *layout) sampleNumber(main table.Column, value float64, cell, date []byte) error {
	perUnit, isTime := quantity.TimeUnitSeconds(l.times[0].unit)
	workbook := l.file.Workbook()
	switch {
	case value >= 1e8 && len(l.layoutsOfDigits(cell)) > 0:
		return l.askDigits(cell)
	case value >= 1e8 && l.unixFits(cell) && (!isTime || unixUnit(value) == perUnit*float64(time.Second)):
		l.clock.kind = unixSeconds
	case value >= 1e8 && !isTime:
		return l.askDigits(cell)
	case isTime:
		l.clock.kind, l.clock.unit = elapsedUnits, perUnit*float64(time.Second)
	case workbook && value >= 20000 && value < 80000, workbook && value >= 0 && value < 1 && len(date) > 0:
		l.clock.kind = excelDates
	default:
		return place.NewError(l.where(l.times[0]), wording.Say("log.numbers-as-times", wording.Values{"found": table.Shown(cell), "column": main, "format": excelFormat}))
	}
	return nil
}

// isCompactDate reports whether eight digits can be a date such as 20261118.
func isCompactDate(cell []byte) bool {
	_, length, _, ok := parseDate(cell, orderUnknown)
	return ok && length == 8 && len(cell) == 8
}

// settleOrder finds the order of day and month in the first rows.
func (l *layout) settleOrder() {
	var seen dateEvidence
	for i := range l.sample {
		row := &l.sample[i]
		for _, c := range l.times {
			_, evidence, _ := l.clock.parse(c.of(row), c.date.of(row))
			if seen.add(evidence); l.orderWhy == "" && evidence.order() != orderUnknown {
				l.orderWhy = fmt.Sprintf("row %d", row.Number)
			}
		}
	}
	if order := seen.order(); order != orderUnknown {
		l.clock.order, l.clock.shown = order, true
	}
}

// order returns what the evidence shows; where it shows both, nothing.
func (e dateEvidence) order() dateOrder {
	switch {
	case e.day && !e.month:
		return dayFirst
	case e.month && !e.day:
		return monthFirst
	}
	return orderUnknown
}

func (e *dateEvidence) add(other dateEvidence) {
	e.day, e.month = e.day || other.day, e.month || other.month
}
