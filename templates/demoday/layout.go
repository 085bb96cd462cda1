package demoday

import (
	"math"
	"strconv"
	"strings"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// Layout is how a file writes its table. The zero value is plain: commas,
// decimal points, UTF-8, English heads with the unit in brackets, RFC 3339 times.
type Layout struct {
	Workbook     bool // .xlsx instead of delimited text
	Delimiter    rune // 0 is a comma
	DecimalComma bool
	Encoding     Encoding
	LineEnd      string   // "" is "\n"
	Preamble     []string // lines before the heads
	Comments     []string // lines before the heads that begin with #
	Blank        bool     // an empty line between preamble and heads
	Units        UnitStyle
	Heads        map[table.Column]string // heads that differ from the English ones
	Unit         map[table.Column]string // units that differ from the usual ones
	Time         TimeStyle
	Digits       int // significant digits of readings; 0 is 5
}

// Encoding is how text becomes bytes.
type Encoding int

// The encodings of text files.
const (
	UTF8 Encoding = iota
	UTF8Mark
	UTF16Little
	UTF16Big
	Windows1252
)

// UnitStyle is where a file writes the unit of a column.
type UnitStyle int

// The places of a unit.
const (
	InBrackets       UnitStyle = iota // Field (V/m)
	InSquareBrackets                  // Field [V/m]
	AfterComma                        // Field, V/m
	RowBelow                          // in a row of their own below the heads
)

// TimeStyle is how a file writes times. The zero value is RFC 3339 in UTC with
// milliseconds.
type TimeStyle struct {
	Kind  TimeKind
	Date  string         // Go layout of a date column before the time column; "" for none
	Clock string         // Go layout of the time column; "" is RFC 3339
	Zone  *time.Location // nil is UTC
}

// TimeKind is what a time column holds.
type TimeKind int

// The kinds of time columns.
const (
	Written        TimeKind = iota // date and time of day
	UnixSeconds                    // seconds since 1970
	ElapsedSeconds                 // seconds since the entry's start
	SerialDate                     // a date cell of a workbook
)

const rfc3339 = "2006-01-02T15:04:05.000Z07:00"

// heads are the English words of the columns.
var heads = map[table.Column]string{
	table.Time: "Time", table.Date: "Date", table.Field: "E-field", table.AxisX: "Ex", table.AxisY: "Ey", table.AxisZ: "Ez",
	table.Frequency: "Frequency", table.Status: "Status", table.Forward: "Forward power", table.Reflected: "Reflected power",
	table.Start: "Start", table.End: "End", table.Duration: "Duration", table.Run: "Run", table.Polarization: "Polarization",
	table.Position: "Position", table.Modulation: "Modulation", table.Factor: "Correction factor",
}

// head returns the word of a column.
func (l Layout) head(c table.Column) string {
	if word, ok := l.Heads[c]; ok {
		return word
	}
	return heads[c]
}

// units are the usual units of the columns; columns without one are not listed.
var units = map[table.Column]string{
	table.Field: "V/m", table.AxisX: "V/m", table.AxisY: "V/m", table.AxisZ: "V/m", table.Frequency: "MHz",
	table.Forward: "W", table.Reflected: "W", table.Duration: "s",
}

// unit returns the unit of a column, "" for none.
func (l Layout) unit(c table.Column) string {
	if unit, ok := l.Unit[c]; ok {
		return unit
	}
	return units[c]
}

func (l Layout) delimiter() rune {
	if l.Delimiter == 0 {
		return ','
	}
	return l.Delimiter
}

func (l Layout) lineEnd() string {
	if l.LineEnd == "" {
		return "\n"
	}
	return l.LineEnd
}

func (l Layout) digits() int {
	if l.Digits == 0 {
		return 5
	}
	return l.Digits
}

func (t TimeStyle) zone() *time.Location {
	if t.Zone == nil {
		return time.UTC
	}
	return t.Zone
}

// ambiguous reports whether a date of the style could be read in two orders.
func (t TimeStyle) ambiguous(date time.Time) bool {
	order := t.Date + t.Clock
	return date.Day() <= 13 && (strings.HasPrefix(order, "02") || strings.HasPrefix(order, "01"))
}

// FirstRow is the row of the first record, as a spreadsheet counts.
func (f File) FirstRow() int {
	l := f.Layout
	row := len(l.Preamble) + len(l.Comments) + 2
	if l.Blank {
		row++
	}
	if l.Units == RowBelow {
		row++
	}
	return row
}

// Row is the row of the record with the index.
func (f File) Row(index int) int { return f.FirstRow() + index }

// own returns the time that the file's own clock shows at a true time.
func (f File) own(at quantity.Instant) quantity.Instant { return at.Add(-f.Entry.ClockOffset) }

// fields returns what writes field strengths in the column's unit.
func (f File) fields(c table.Column) func(quantity.FieldStrength) string {
	unit, digits := f.Layout.unit(c), f.Layout.digits()
	convert, _ := quantity.FieldUnit(unit)
	one, density := convert(1), convert(4) == 2*convert(1) // a power density goes with the square of the field
	if quantity.FieldUnitIsLevel(unit) {
		reference := convert(0)
		return func(e quantity.FieldStrength) string {
			return strconv.FormatFloat(float64(e.Over(reference)), 'f', digits-2, 64)
		}
	}
	return func(e quantity.FieldStrength) string {
		x := float64(e / one)
		if density {
			x *= x
		}
		return significant(x, digits)
	}
}

// leastPower is what a meter shows when there is no power.
const leastPower quantity.Power = 1e-9

// powers returns what writes powers in the column's unit.
func (f File) powers(c table.Column) func(quantity.Power) string {
	unit, digits := f.Layout.unit(c), f.Layout.digits()
	convert, _ := quantity.PowerUnit(unit)
	if quantity.PowerUnitIsLevel(unit) {
		reference := convert(0)
		return func(p quantity.Power) string {
			return strconv.FormatFloat(float64(max(p, leastPower).Over(reference)), 'f', digits-2, 64)
		}
	}
	one := convert(1)
	return func(p quantity.Power) string { return significant(float64(p/one), digits) }
}

// frequencies returns what writes frequencies in the column's unit with the decimals.
func (f File) frequencies(decimals int) func(quantity.Frequency) string {
	convert, _ := quantity.FrequencyUnit(f.Layout.unit(table.Frequency))
	one := convert(1)
	return func(x quantity.Frequency) string { return strconv.FormatFloat(float64(x/one), 'f', decimals, 64) }
}

// significant writes x with the digits, or one more where rounding adds one, and
// without an exponent.
func significant(x float64, digits int) string {
	if x == 0 {
		return "0"
	}
	decimals := digits - 1 - int(math.Floor(math.Log10(math.Abs(x))))
	if decimals < 0 {
		scale := math.Pow(10, float64(-decimals))
		return strconv.FormatFloat(math.Round(x/scale)*scale, 'f', 0, 64)
	}
	return strconv.FormatFloat(x, 'f', decimals, 64)
}

// shortest writes x in as few digits as bring it back exactly.
func shortest(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
