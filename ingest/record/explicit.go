package record

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// lookTimes says how the times of the file are written.
func (l *layout) lookTimes() *LookTimes {
	t := &LookTimes{ClockOffset: l.entry.ClockOffset}
	switch l.clock.Kind {
	case notation.CalendarTimes:
		t.How = "dates and times of day"
	case notation.DayTimes:
		t.How = "times of day"
	case notation.ExcelDates:
		t.How = "dates of a spreadsheet, counted from 1900"
		if l.clock.Date1904 {
			t.How = "dates of a spreadsheet, counted from 1904"
		}
	case notation.UnixSeconds:
		t.How = "seconds since 1970-01-01 00:00 UTC"
	case notation.ElapsedUnits:
		t.How = fmt.Sprintf("elapsed time in units of %s", time.Duration(l.clock.Unit))
	case notation.ElapsedClock:
		t.How = "elapsed time as h:mm:ss"
	case notation.StatedLayout:
		t.How = "as time_format states: " + l.entry.TimeFormat
	}
	if l.clock.Rounded {
		t.How += ", rounded to the millisecond"
	}
	if l.writesOrder() && l.clock.Order != notation.OrderUnknown {
		t.Order, t.OrderWhy = l.clock.Order.String(), l.orderWhy
		if l.entry.TimeFormat != "" {
			t.OrderWhy = statedColumn
		}
	}
	if l.clock.Kind != notation.UnixSeconds && l.needsZone() {
		t.Zone, t.ZoneWhy = l.timeline.Zone.String(), l.zoneWhy
	}
	if l.timeline.Started {
		start := l.timeline.Start
		t.Start = start.String()
		if start.Form == notation.Absolute {
			t.Start = quantity.Instant(start.Nanoseconds).In(l.timeline.Zone).Format("2006-01-02 15:04:05 -07:00")
		}
	}
	return t
}

// why says how what concerns the whole file was told.
func (l *layout) why() LookWhy {
	why := LookWhy{Encoding: l.file.EncodingWhy(), Delimiter: "it parts the header row", Decimal: l.numbersWhy, Header: "the first row that names the columns"}
	switch {
	case l.entry.Delimiter != 0:
		why.Delimiter = statedColumn
	case l.header.Number == 0:
		why.Delimiter = ""
	}
	if l.entry.HeaderRow != 0 || l.entry.NoHeader {
		why.Header = statedColumn
	}
	return why
}

// needsZone reports whether a time of the beginning carries no zone.
func (l *layout) needsZone() bool {
	for i := range l.sample {
		for _, c := range l.times {
			s, _, ok := l.clock.Parse(c.of(&l.sample[i]), c.date.of(&l.sample[i]))
			if ok && s.Form != notation.Absolute {
				return s.Form != notation.Elapsed || l.timeline.Start.Form != notation.Absolute
			}
		}
	}
	return false
}

// writesOrder reports whether dates of the beginning have day and month in an
// order that is not that of the year before them.
func (l *layout) writesOrder() bool {
	for i := range l.sample {
		for _, c := range l.times {
			cell := c.of(&l.sample[i])
			if c.date != nil {
				cell = c.date.of(&l.sample[i])
			}
			if notation.HasOrder(cell, l.clock.Order) {
				return true
			}
		}
	}
	return false
}

// explicit is the entry that reads the file as it is read now and leaves nothing
// to be found out, and its lines in a job sheet.
func (l *layout) explicit() (table.Entry, []string) {
	e := l.entry
	e.File, e.Sheet = l.file.Place(0, "").File, l.file.Sheet()
	e.Delimiter, e.HeaderRow = l.delimiter, l.header.Number
	e.Columns, e.Numbers, e.Units = map[table.Column]string{}, map[table.Column]int{}, map[table.Column]string{}
	if !l.file.Workbook() && l.numbers.Decimal != 0 {
		e.Decimal = rune(l.numbers.Decimal)
	}
	var columns, units []string
	if d := l.headless(); d != nil {
		e.NoHeader, e.Delimiter = true, d.delimiter
		for i, c := range d.columns {
			e.Numbers[c] = d.numbers[i]
			columns = append(columns, fmt.Sprintf("%s = %d", c, d.numbers[i]))
		}
	}
	for _, c := range l.ordered() {
		if !slices.Contains(statableColumns, c) {
			continue
		}
		found := l.columns[c]
		if l.alone(found) {
			e.Columns[c] = found.heading.text
			columns = append(columns, string(c)+" = "+strconv.Quote(found.heading.text))
		} else {
			e.Numbers[c] = found.index + 1
			columns = append(columns, fmt.Sprintf("%s = %d", c, found.index+1))
		}
		if found.unit != "" {
			e.Units[c] = found.unit
			units = append(units, string(c)+" = "+strconv.Quote(found.unit))
		}
	}
	lines := []string{"file = " + strconv.Quote(e.File)}
	if e.Sheet != "" {
		lines = append(lines, "sheet = "+strconv.Quote(e.Sheet))
	}
	if e.Delimiter != 0 {
		lines = append(lines, "delimiter = "+strconv.Quote(string(e.Delimiter)))
	}
	if e.Decimal != 0 {
		lines = append(lines, "decimal = "+strconv.Quote(string(e.Decimal)))
	}
	for _, list := range []struct {
		key   string
		words []string
	}{{"ignore_columns", e.Ignored}, {"status_good", e.StatusGood}, {"status_bad", e.StatusBad}} {
		if len(list.words) > 0 {
			lines = append(lines, list.key+" = ["+quoted(list.words)+"]")
		}
	}
	if e.NoStatus {
		columns = append(columns, `status = ""`)
	}
	lines = append(lines, fmt.Sprintf("header_row = %d", e.HeaderRow))
	if len(columns) > 0 {
		lines = append(lines, "columns = { "+strings.Join(columns, ", ")+" }")
	}
	if len(units) > 0 {
		lines = append(lines, "units = { "+strings.Join(units, ", ")+" }")
	}
	if e.TimeFormat = l.timeFormat(); e.TimeFormat != "" {
		lines = append(lines, "time_format = "+strconv.Quote(e.TimeFormat))
	}
	return e, lines
}

// quoted writes texts as a list of TOML.
func quoted(texts []string) string {
	list := make([]string, len(texts))
	for i, text := range texts {
		list[i] = strconv.Quote(text)
	}
	return strings.Join(list, ", ")
}

// alone reports whether the words of a column's heading name it and no other.
func (l *layout) alone(c *column) bool {
	same := 0
	for _, h := range l.headings {
		if strings.EqualFold(h.text, c.heading.text) || h.name != "" && h.name == c.heading.name {
			same++
		}
	}
	return c.heading.text != "" && same == 1
}

// statableColumns are those that a job sheet can name.
var statableColumns = []table.Column{table.Time, table.Date, table.Field, table.AxisX, table.AxisY, table.AxisZ, table.Frequency,
	table.Status, table.Forward, table.Reflected, table.Start, table.End, table.Duration, table.Run, table.Polarization,
	table.Position, table.Modulation, table.Factor}

// timeFormat is the layout that says the order of day and month, where the times
// of the file have one and it was shown.
func (l *layout) timeFormat() string {
	if l.entry.TimeFormat != "" || l.clock.Kind != notation.CalendarTimes || l.clock.Order == notation.OrderUnknown || !l.writesOrder() {
		return l.entry.TimeFormat
	}
	for i := range l.sample {
		c := l.times[0]
		cell := c.of(&l.sample[i])
		if c.date != nil {
			cell = c.date.of(&l.sample[i])
		}
		if _, n := notation.LeadingNumber(cell); n == 1 || n == 2 {
			early, late := notation.LayoutsOfDate(cell)
			if l.clock.Order == notation.MonthFirst {
				return late
			}
			return early
		}
	}
	return ""
}
