package record

import (
	"fmt"
	"time"

	"fieldheld/ingest/notation"
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
		l.orderShown = true
		return nil
	}
	for _, c := range columns {
		l.times = append(l.times, l.columns[c])
	}
	l.settleDates(columns)
	main := columns[0]
	l.clock = notation.Clock{Rounded: l.file.Workbook(), Date1904: l.file.Date1904(), Numbers: l.numbers}
	l.timeline = notation.Timeline{Shift: l.entry.ClockOffset}
	err := l.settleZone()
	switch {
	case err != nil:
	case l.entry.TimeFormat != "":
		err = l.stateLayout()
	case main == unixTime:
		l.clock.Kind = notation.UnixSeconds
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
		if number, ok := l.numbers.Parse(cell); ok && !notation.CompactDate(cell) {
			return l.sampleNumber(main, number.Value, cell, date)
		}
		if s, _, ok := l.clock.Parse(cell, date); ok {
			if s.Form == notation.TimeOfDay {
				l.clock.Kind = notation.DayTimes
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
		if n, ok := l.numbers.Parse(cell); ok && n.Value > 0 {
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
	if _, ok := l.numbers.Parse(cell); ok {
		perUnit, isTime := quantity.TimeUnitSeconds(l.times[0].unit)
		if !isTime {
			perUnit = 1
		}
		l.clock.Kind, l.clock.Unit = notation.ElapsedUnits, perUnit*float64(time.Second)
		return true
	}
	l.clock.Kind = notation.ElapsedClock
	_, ok := notation.ParseSpan(cell)
	return ok
}

// sampleNumber tells what the numbers of a time column count: seconds since
// 1970, which are large, units since a start where the column has one, or the
// days of a workbook.
func (l *layout) sampleNumber(main table.Column, value float64, cell, date []byte) error {
	perUnit, isTime := quantity.TimeUnitSeconds(l.times[0].unit)
	workbook := l.file.Workbook()
	switch {
	case value >= 1e8 && len(notation.LayoutsOfDigits(cell, l.aboutThen)) > 0:
		return l.askDigits(cell)
	case value >= 1e8 && l.unixFits(cell) && (!isTime || notation.UnixUnit(value) == perUnit*float64(time.Second)):
		l.clock.Kind = notation.UnixSeconds
	case value >= 1e8 && !isTime:
		return l.askDigits(cell)
	case isTime:
		l.clock.Kind, l.clock.Unit = notation.ElapsedUnits, perUnit*float64(time.Second)
	case workbook && value >= 20000 && value < 80000, workbook && value >= 0 && value < 1 && len(date) > 0:
		l.clock.Kind = notation.ExcelDates
	default:
		return place.NewError(l.where(l.times[0]), wording.Say("log.numbers-as-times", wording.Values{"found": table.Shown(cell), "column": main, "format": excelFormat}))
	}
	return nil
}

// settleOrder finds the order of day and month in the first rows.
func (l *layout) settleOrder() {
	var seen notation.DateEvidence
	for i := range l.sample {
		row := &l.sample[i]
		for _, c := range l.times {
			_, evidence, _ := l.clock.Parse(c.of(row), c.date.of(row))
			if seen.Add(evidence); l.orderWhy == "" && evidence.Order() != notation.OrderUnknown {
				l.orderWhy = fmt.Sprintf("row %d", row.Number)
			}
		}
	}
	if order := seen.Order(); order != notation.OrderUnknown {
		l.clock.Order, l.orderShown = order, true
	}
}
