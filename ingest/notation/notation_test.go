package notation

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/zone"
)

func TestNumbersAsLogsWriteThem(t *testing.T) {
	point, comma, workbook := Numbers{Decimal: '.'}, Numbers{Decimal: ','}, Numbers{Decimal: '.', Workbook: true}
	for _, test := range []struct {
		how  Numbers
		cell string
		want Number
	}{
		{point, "207.10", Number{207.1, 5, 2}},
		{comma, "207,10", Number{207.1, 5, 2}},
		{point, "-0.00250", Number{-0.0025, 3, 5}},
		{point, "1,234.5", Number{1234.5, 5, 1}},
		{comma, "1.234,5", Number{1234.5, 5, 1}},
		{comma, "1 234,5", Number{1234.5, 5, 1}},
		{point, "1.795E+09", Number{1.795e9, 4, -6}},
		{point, "−3", Number{-3, 1, 0}},
		{workbook, "0.1", Number{0.1, 1, 1}},
		{workbook, "12,5", Number{12.5, 3, 1}},
	} {
		got, ok := test.how.Parse([]byte(test.cell))
		assert.True(t, ok, test.cell)
		assert.Equal(t, test.want, got, test.cell)
	}
	for _, test := range []struct {
		how  Numbers
		cell string
	}{
		{point, ""}, {point, "."}, {point, "1..2"}, {point, "12,34"}, {comma, "12.34"}, {point, "0x10"}, {point, "NaN"}, {point, "Inf"},
		{point, "1e400"}, {point, "12 V/m"}, {point, "0,123.5"}, {workbook, "1,234"}, {workbook, "0x1p4"}, {workbook, "1_000"},
	} {
		_, ok := test.how.Parse([]byte(test.cell))
		assert.False(t, ok, "%q is no number", test.cell)
	}
}

func TestTimesAsLogsWriteThem(t *testing.T) {
	for _, test := range []struct {
		clock      Clock
		cell, date string
		want       string
		form       Form
	}{
		{Clock{}, "2026-11-18T09:00:00+01:00", "", "2026-11-18 08:00:00", Absolute},
		{Clock{}, "2026-11-18 09:00", "", "2026-11-18 09:00:00", WallClock},
		{Clock{Order: MonthFirst}, "4/5/2026 9:00:00 pm", "", "2026-04-05 21:00:00", WallClock},
		{Clock{Order: DayFirst}, "4/5/2026 9:00:00", "", "2026-05-04 09:00:00", WallClock},
		{Clock{}, "09:00:00", "18. November 2026", "2026-11-18 09:00:00", WallClock},
		{Clock{}, "09:00:00", "", "1970-01-01 09:00:00", TimeOfDay},
		{Clock{}, "2026-11-18", "", "2026-11-18 00:00:00", DateAlone},
		{Clock{Kind: UnixSeconds, Numbers: Numbers{Decimal: '.'}}, "1794992400", "", "2026-11-18 09:00:00", Absolute},
		{Clock{Kind: ElapsedUnits, Unit: 1e6, Numbers: Numbers{Decimal: ','}}, "61000,5", "", "1970-01-01 00:01:01", Elapsed},
		{Clock{Kind: ElapsedClock}, "100:00:01", "", "1970-01-05 04:00:01", Elapsed},
		{Clock{Kind: ExcelDates, Numbers: Numbers{Decimal: '.', Workbook: true}}, "46344.375", "", "2026-11-18 09:00:00", WallClock},
		{Clock{Kind: ExcelDates, Date1904: true, Numbers: Numbers{Decimal: '.', Workbook: true}}, "44882.375", "", "2026-11-18 09:00:00", WallClock},
	} {
		got, _, ok := test.clock.Parse([]byte(test.cell), []byte(test.date))
		require.True(t, ok, test.cell)
		assert.Equal(t, test.want, got.String(), test.cell)
		assert.Equal(t, test.form, got.Form, test.cell)
	}
	for _, cell := range []string{"", "8.27", "25:00:00", "09:60:00", "2026-02-30 09:00:00", "2026-11-18x09:00:00", "13:00:00 pm",
		"18.11.26 09:00:00", "2026-11-18 09:00:00 CET", "2026-11-18 09:00:00.1234567891", "12345"} {
		_, _, ok := (&Clock{Numbers: Numbers{Decimal: '.'}}).Parse([]byte(cell), nil)
		assert.False(t, ok, "%q is no time", cell)
	}
	layout, wrong := NewLayout("02.01.2006 15:04")
	require.Empty(t, wrong)
	for _, text := range []string{"3:04:05 pm", "2006-01-02 03:04 PM", "15:04", "2006-01-02", "20060102150405"} {
		_, wrong := NewLayout(text)
		assert.Empty(t, wrong, text)
	}
	got, _, ok := (&Clock{Kind: StatedLayout, Layout: layout}).Parse([]byte("18.11.2026 09:00"), nil)
	assert.True(t, ok)
	assert.Equal(t, "2026-11-18 09:00:00", got.String())
	for _, text := range []string{"", "15", "2006-01-02 15:04 MST", "03:04", "3:04", "2006-01-02 3:04:05", "02.01.2006 03:04", "15:04 -07:00", "2006-01 15"} {
		_, wrong := NewLayout(text)
		assert.NotEmpty(t, wrong, "%q is no layout of times", text)
	}
}

// Day and month change places in a date only where both can be a month.
func TestDatesThatCanBeReadEitherWay(t *testing.T) {
	for cell, want := range map[string]bool{"4/5/2026": true, "5/5/2026": false, "18/11/2026": false, "11/18/2026": false, "2026-04-05": false, "4 May 2026": false, "": false} {
		assert.Equal(t, want, AmbiguousDate([]byte(cell)), cell)
	}
	var seen DateEvidence
	for _, test := range []struct {
		cell string
		want DateOrder
	}{{"4/5/2026", OrderUnknown}, {"18/11/2026", DayFirst}, {"5/5/2026", DayFirst}, {"11/18/2026", OrderUnknown}} {
		_, evidence, ok := ParseStamp([]byte(test.cell), OrderUnknown)
		require.True(t, ok, test.cell)
		seen.Add(evidence)
		assert.Equal(t, test.want, seen.Order(), "after %s", test.cell)
	}
}

// The hour that comes twice in Oslo on 2026-10-25, the one that is left out on
// 2026-03-29, and days that follow one another.
func TestTheTimeline(t *testing.T) {
	oslo, err := zone.Load("Europe/Oslo")
	require.NoError(t, err)
	walk := func(l *Timeline, cells ...string) (instants []string, problem string) {
		for _, cell := range cells {
			s, _, ok := ParseStamp([]byte(cell), OrderUnknown)
			require.True(t, ok, cell)
			at, problem := l.At(s)
			if !problem.IsZero() {
				return instants, problem.String()
			}
			instants = append(instants, at.UTC().Format("02 15:04"))
		}
		return instants, ""
	}
	twice := Timeline{Zone: oslo}
	got, _ := walk(&twice, "2026-10-25 01:59", "2026-10-25 02:30", "2026-10-25 02:59", "2026-10-25 02:00", "2026-10-25 02:59", "2026-10-25 03:00")
	assert.Equal(t, []string{"24 23:59", "25 00:30", "25 00:59", "25 01:00", "25 01:59", "25 02:00"}, got)
	_, doubtful := twice.Doubts()
	assert.False(t, doubtful, "the clock goes back")

	once := Timeline{Zone: oslo}
	_, problem := walk(&once, "2026-10-25 02:10", "2026-10-25 02:50", "2026-10-25 03:00")
	assert.Empty(t, problem)
	first, doubtful := once.Doubts()
	assert.True(t, doubtful)
	assert.Equal(t, "2026-10-25 02:10:00", first.String())

	_, problem = walk(&Timeline{Zone: oslo}, "2026-03-29 02:30")
	assert.Contains(t, problem, "does not exist")
	_, problem = walk(&Timeline{Zone: oslo}, "09:00")
	assert.Equal(t, "the date is missing", problem)
	_, problem = walk(&Timeline{Zone: oslo}, "2026-11-18")
	assert.Equal(t, "the time of day is missing", problem)

	start := time.Date(2026, 11, 18, 23, 0, 0, 0, oslo)
	got, _ = walk(&Timeline{Zone: oslo, Start: WallStampOf(start), Started: true, Shift: -time.Minute}, "23:30", "23:59", "00:10")
	assert.Equal(t, []string{"18 22:29", "18 22:58", "18 23:09"}, got)
	at, wrong := (&Timeline{Zone: oslo, Start: StampOf(start), Started: true}).At(Stamp{int64(time.Second), Elapsed})
	assert.Empty(t, wrong)
	assert.Equal(t, quantity.Instant(start.Add(time.Second).UnixNano()), at)
}

func TestZonesByTheirNames(t *testing.T) {
	for text, seconds := range map[string]int{"UTC": 0, "Z": 0, "utc": 0, "UTC+2": 7200, "UTC -5": -18000, "+05:30": 19800, "CEST": 7200, "MEZ": 3600} {
		named := ZoneNamed(text)
		if assert.NotNil(t, named, text) {
			_, offset := time.Date(2026, 7, 1, 0, 0, 0, 0, named).Zone()
			assert.Equal(t, seconds, offset, text)
		}
	}
	for _, text := range []string{"", "CST", "IST", "XQT", "UTC+25", "Europe/Tallholm", "+1:2:3"} {
		assert.Nil(t, ZoneNamed(text), "%q names no zone", text)
	}
	for text, says := range map[string]bool{"XQT": true, "Europe/Tallholm": true, "Eastern": true, "local": false, "Ortszeit": false, "ISO": false, "of day": false, "": false} {
		assert.Equal(t, says, SaysZone(text), text)
	}
}
