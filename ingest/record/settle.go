package record

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// timeColumns returns the columns of times that are read, those of a dwell
// record or the one of a log. Elapsed times only count where nothing else does.
func (l *layout) timeColumns() []table.Column {
	if l.has(table.Start) {
		if l.has(table.End) {
			return []table.Column{table.Start, table.End}
		}
		return []table.Column{table.Start}
	}
	for _, c := range []table.Column{table.Time, unixTime, elapsedTime, table.Date} {
		if l.has(c) {
			return []table.Column{c}
		}
	}
	return nil
}

// settleClock finds out how the file writes its times.
func (l *layout) settleClock() error {
	columns := l.timeColumns()
	if len(columns) == 0 {
		return nil
	}
	for _, c := range columns {
		l.times = append(l.times, l.columns[c])
	}
	main := columns[0]
	if main == table.Time || main == table.Start {
		for _, c := range l.times {
			c.date = l.columns[table.Date]
		}
	}
	l.clock = clock{rounded: l.file.Workbook(), date1904: l.file.Date1904(), numbers: l.numbers, layout: l.entry.TimeFormat}
	l.timeline = timeline{zone: l.zoneOf(main), shift: int64(l.entry.ClockOffset)}
	switch {
	case l.entry.TimeFormat != "":
		l.clock.kind, l.clock.shown = statedLayout, true
	case main == unixTime:
		l.clock.kind = unixSeconds
	default:
		if err := l.sampleTimes(main); err != nil {
			return err
		}
	}
	return l.settleStart(main)
}

// zoneOf returns the zone of a column's times: the one that its heading names,
// where the job sheet does not say otherwise.
func (l *layout) zoneOf(c table.Column) *time.Location {
	h := l.columns[c].heading
	name := h.remark
	if h.name == fold("UTC time") || h.name == fold("Time UTC") {
		name = "UTC"
	}
	stated := l.entry.Zone != nil && (l.settings.Zone == nil || l.entry.Zone.String() != l.settings.Zone.String())
	if offset, ok := parseZone([]byte(name)); ok && name != "" && !stated {
		if offset == 0 {
			return time.UTC
		}
		return time.FixedZone(name, int(offset/second))
	}
	return l.zone()
}

// sampleTimes tells from the first rows how the times are written.
func (l *layout) sampleTimes(main table.Column) error {
	perUnit, isTime := quantity.TimeUnitSeconds(l.columns[main].unit)
	if main == elapsedTime && !isTime {
		perUnit = 1
	}
	found := false
	for i := range l.sample {
		row := &l.sample[i]
		cell, date := l.times[0].of(row), l.times[0].date.of(row)
		if len(cell) == 0 || found {
			continue
		}
		number, numeric := l.numbers.parse(cell)
		switch {
		case main == elapsedTime && numeric:
			l.clock.kind, l.clock.unit, found = elapsedUnits, perUnit*float64(time.Second), true
		case main == elapsedTime:
			_, found = parseSpan(cell)
			l.clock.kind = elapsedClock
		case numeric && !isCompactDate(cell):
			kind, unit, reason := numericTimes(number.value, l.columns[main].unit, l.file.Workbook(), len(date) > 0)
			if reason != "" {
				return l.askTimes(main, cell, reason)
			}
			l.clock.kind, l.clock.unit, found = kind, unit, true
		default:
			s, _, ok := l.clock.parse(cell, date)
			found = ok
			if ok && s.form == timeOfDay {
				l.clock.kind = dayTimes
			}
		}
	}
	l.settleOrder()
	return nil
}

// isCompactDate reports whether eight digits can be a date such as 20261118.
func isCompactDate(cell []byte) bool {
	if len(cell) != 8 {
		return false
	}
	_, length, _, ok := parseDate(cell, orderUnknown)
	return ok && length == 8
}

// settleOrder finds the order of day and month in the first rows.
func (l *layout) settleOrder() {
	var seen dateEvidence
	for i := range l.sample {
		row := &l.sample[i]
		for _, c := range l.times {
			_, evidence, _ := l.clock.parse(c.of(row), c.date.of(row))
			seen.day = seen.day || evidence.day
			seen.month = seen.month || evidence.month
		}
	}
	switch {
	case seen.day && !seen.month:
		l.clock.order, l.clock.shown = dayFirst, true
	case seen.month && !seen.day:
		l.clock.order, l.clock.shown = monthFirst, true
	}
}

// askTimes is the error that asks what the times of a column are.
func (l *layout) askTimes(c table.Column, cell []byte, reason string) error {
	where := l.where(l.columns[c])
	return &place.Error{Messages: place.Messages{{
		Place: where, What: "the times of the column can be read in more than one way",
		Found: table.Shown(cell) + ": " + reason, Expected: "times whose kind the file shows",
		Hint: fmt.Sprintf("add units = { %s = \"s\" } to the job sheet's entry for seconds since a start, or time_format for anything else", c),
	}}}
}

// settleStart finds what elapsed times and times of day count from.
func (l *layout) settleStart(main table.Column) error {
	elapsed := l.clock.kind == elapsedUnits || l.clock.kind == elapsedClock
	dateless := l.clock.kind == dayTimes && !l.has(table.Date) ||
		l.clock.kind == statedLayout && !layoutHasDate(l.clock.layout) && !l.has(table.Date)
	if !elapsed && !dateless {
		return nil
	}
	zone := l.timeline.zone
	if start := l.entry.Start; !start.IsZero() {
		l.timeline.start = stamp{start.UnixNano(), absolute}
		if dateless {
			_, offset := start.In(zone).Zone()
			l.timeline.start = stamp{start.UnixNano() + int64(offset)*second, wallClock}
		}
		return nil
	}
	if start, ok := l.startInPreamble(dateless); ok {
		l.timeline.start = start
		return nil
	}
	what, expected := "the file does not say when its elapsed times begin", "a line such as “Start: 2026-11-18 09:00:00” above the header"
	if dateless {
		what, expected = "the file does not say on which day its times are", "a date column, or a line such as “Date: 2026-11-18” above the header"
	}
	return &place.Error{Messages: place.Messages{{
		Place: l.where(l.columns[main]), What: what, Expected: expected,
		Hint: "add start = 2026-11-18T09:00:00, with the right date and time, to the job sheet's entry",
	}}}
}

// startWords are the names that preambles give to the begin of a log.
var startWords = []string{"Start", "Start time", "Started", "Log start", "Begin", "Date/Time", "Date", "Date and time",
	"Recorded", "Created", "Beginn", "Startzeit", "Datum", "Datum/Zeit", "Début", "Date de début", "Inicio", "Fecha", "Inizio", "Data", "Starttid", "Dato"}

// startInPreamble looks for a date, with a time where one is needed, behind one
// of the start words above the header.
func (l *layout) startInPreamble(dateOnly bool) (stamp, bool) {
	for i := range l.preamble {
		name, value := parted(l.preamble[i].Cells)
		known := false
		for _, word := range startWords {
			known = known || fold(word) == fold(name)
		}
		if !known {
			continue
		}
		s, evidence, ok := parseStamp([]byte(value), orderUnknown)
		if !ok || yearLast(value) && !evidence.day && !evidence.month {
			continue
		}
		switch {
		case s.form == absolute, s.form == wallClock:
			return s, true
		case s.form == sinceDate && dateOnly:
			return stamp{s.ns, wallClock}, true
		}
	}
	return stamp{}, false
}

// parted splits a line of the preamble into the name before a colon or a cell
// border, and the value behind.
func parted(cells [][]byte) (name, value string) {
	var texts []string
	for _, c := range cells {
		if len(c) > 0 {
			texts = append(texts, table.Text(c))
		}
	}
	line := strings.TrimLeft(strings.Join(texts, " "), "# ")
	if len(texts) > 1 {
		name, value = strings.TrimRight(texts[0], ":= "), strings.Join(texts[1:], " ")
		return strings.TrimLeft(name, "# "), value
	}
	name, value, _ = strings.Cut(line, ":")
	if before, after, ok := strings.Cut(line, "="); ok && len(before) < len(name) {
		name, value = before, after
	}
	return strings.TrimSpace(name), strings.TrimSpace(value)
}

// yearLast reports whether a date does not begin with its year.
func yearLast(text string) bool {
	_, digits := leadingNumber([]byte(text))
	return digits > 0 && digits < 4
}
