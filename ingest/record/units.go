package record

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/spelling"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// family is the units of one quantity.
type family struct {
	example string
	convert func(unit string) (func(float64) float64, bool)
	most    float64 // in SI units: more than any day of tests can show
}

var (
	fieldFamily     = &family{"a unit of field strength, such as V/m", plain(quantity.FieldUnit), 1e5}
	powerFamily     = &family{"a unit of power, such as W or dBm", plain(quantity.PowerUnit), 1e7}
	frequencyFamily = &family{"a unit of frequency, such as MHz", plain(quantity.FrequencyUnit), 1e11}
)

// plain takes the type off conversions, so that columns can hold any of them.
func plain[T quantity.Number](convert func(string) (func(float64) T, bool)) func(string) (func(float64) float64, bool) {
	return func(unit string) (func(float64) float64, bool) {
		typed, ok := convert(unit)
		return func(x float64) float64 { return float64(typed(x)) }, ok
	}
}

// familyOf returns the units that a column must have one of, or nil.
func familyOf(c table.Column) *family {
	switch c {
	case table.Field, table.AxisX, table.AxisY, table.AxisZ:
		return fieldFamily
	case table.Forward, table.Reflected:
		return powerFamily
	case table.Frequency:
		return frequencyFamily
	}
	return nil
}

// takeUnits gives each column its unit: from the job sheet, else the header,
// else the row below it, else the cells themselves.
func (l *layout) takeUnits(problems *place.Messages) {
	below := l.findUnitRow()
	for c, found := range l.columns {
		switch stated, ok := l.entry.Units[c]; {
		case ok:
			found.unit, found.unitWhy = stated, "stated in the job sheet"
		case found.heading.unit != "":
			found.unit, found.unitWhy = found.heading.unit, "in the heading"
		case below != nil && bareUnit(found.of(below)) != "":
			found.unit, found.unitWhy = bareUnit(found.of(below)), fmt.Sprintf("in row %d", below.Number)
		default:
			l.unitAbove(c)
		}
	}
	for _, c := range l.kind.columns {
		if l.has(c) {
			l.settleUnit(c, problems)
		}
	}
}

// unitAbove gives an axis the unit of a heading that is merged over the axes in
// the row above the header.
func (l *layout) unitAbove(c table.Column) {
	if len(l.preamble) == 0 || c != table.AxisX && c != table.AxisY && c != table.AxisZ {
		return
	}
	above := l.preamble[len(l.preamble)-1]
	found := l.columns[c]
	for i := min(found.index, len(above.Cells)-1); i >= 0; i-- {
		if len(above.Cells[i]) == 0 {
			continue
		}
		known := l.kind.words()
		if h := known.heading(above.Cells[i]); known[h.name] == table.Field && h.unit != "" {
			found.unit, found.unitWhy = h.unit, fmt.Sprintf("in row %d, over the axes", above.Number)
		}
		return
	}
}

// findUnitRow looks for a row of units right below the header.
func (l *layout) findUnitRow() *table.Row {
	for i := range l.sample {
		row := &l.sample[i]
		if row.Empty() || row.Comment() {
			continue
		}
		if l.entry.NoHeader || !l.isUnitRow(row) {
			return nil
		}
		l.unitRow, l.units = row.Number, row.Cells
		l.sample = l.sample[i+1:]
		return row
	}
	return nil
}

// isUnitRow reports whether a row names units and holds no data: at least one
// cell is a unit below a heading that can have one, and what is no unit has no
// digit. A polarization "h" is no hour.
func (l *layout) isUnitRow(row *table.Row) bool {
	units := 0
	for i, cell := range row.Cells {
		switch {
		case len(cell) == 0:
		case bareUnit(cell) != "":
			if l.mayHaveUnit(i) {
				units++
			}
		case bytes.ContainsAny(cell, "0123456789"):
			return false
		}
	}
	return units > 0
}

// mayHaveUnit reports whether the column holds a quantity that has units.
func (l *layout) mayHaveUnit(index int) bool {
	for c, found := range l.columns {
		if found.index == index {
			return isNumeric(c) || c == table.Time || c == table.Start || c == table.End || c == rangeFrom || c == rangeTo
		}
	}
	return false
}

// settleUnit finds the conversion of a column, and reports a unit that is
// missing or is none of its quantity.
func (l *layout) settleUnit(c table.Column, problems *place.Messages) {
	found := l.columns[c]
	units := familyOf(c)
	if units == nil {
		l.settlePlainUnit(c, problems)
		return
	}
	l.unitInCells(found, units)
	convert, ok := units.convert(found.unit)
	found.convert = convert
	if ok {
		found.most = units.most
	}
	beside := c != table.Field && units == fieldFamily && l.has(table.Field)
	if !ok && !beside {
		l.askUnit(c, units.example, problems)
	}
}

// settlePlainUnit is settleUnit for the columns that may do without a unit.
func (l *layout) settlePlainUnit(c table.Column, problems *place.Messages) {
	unit := l.columns[c].unit
	switch c {
	case table.Factor:
		switch {
		case unit == "" && !plainFactor(l.columns[c].heading):
			l.askUnit(c, "dB, or 1 for a plain factor", problems)
		case unit != "" && unit != "1" && !quantity.IsDecibel(unit):
			l.askUnit(c, "dB, or 1 for a plain factor", problems)
		}
	case table.Duration:
		if unit == "" && !l.has(table.End) && !l.durationsOfDay(l.columns[c]) {
			l.askUnit(c, "a unit of time, such as s", problems)
			return
		}
		fallthrough
	case elapsedTime:
		if _, ok := quantity.TimeUnitSeconds(unit); !ok && unit != "" {
			l.askUnit(c, "a unit of time, such as s", problems)
		}
	}
}

// factorWords are the parts of headings that say a plain factor, folded.
var factorWords = []string{"factor", "faktor", "facteur", "fattore", "kerroin"}

// plainFactor reports whether a heading says by its word that its numbers are
// plain factors.
func plainFactor(h heading) bool {
	return slices.ContainsFunc(factorWords, func(word string) bool { return strings.Contains(spelling.Fold(h.text), word) })
}

// durationsOfDay reports whether the cells of a column without a unit are
// durations by the way they are written: h:mm:ss, or as a time in a workbook,
// whose cells hold parts of a day.
func (l *layout) durationsOfDay(found *column) bool {
	spans := false
	for i := range l.sample {
		cell := found.of(&l.sample[i])
		if len(cell) == 0 {
			continue
		}
		if _, ok := notation.ParseSpan(cell); !ok {
			return l.partsOfDay(found, &l.sample[i])
		}
		spans = true
	}
	return spans
}

// partsOfDay gives a column of a workbook whose cells are formatted as times the
// unit that its numbers have.
func (l *layout) partsOfDay(found *column, row *table.Row) bool {
	if !l.file.TimeCell(row.Number, found.index) {
		return false
	}
	found.partOfDay, found.unitWhy = true, "cells formatted as times"
	return true
}

// unitInCells takes a unit that stands behind the numbers, "30.5 MHz", where the
// column has no other or the same.
func (l *layout) unitInCells(found *column, units *family) {
	for i := range l.sample {
		cell := found.of(&l.sample[i])
		if len(cell) == 0 {
			continue
		}
		text := table.Text(cell)
		number := strings.TrimRightFunc(text, func(r rune) bool { return r < '0' || r > '9' })
		unit := strings.TrimSpace(text[len(number):])
		if unit == "" || number == "" {
			return
		}
		if _, ok := units.convert(unit); !ok {
			number, unit = cutNumber(text)
		}
		if _, ok := units.convert(unit); ok && notation.NumberLike(strings.TrimLeft(number, "+-")) && (found.unit == "" || found.unit == unit) {
			found.suffix = unit
			if found.unit == "" {
				found.unit, found.unitWhy = unit, "behind the numbers"
			}
		}
		return
	}
}

// cutNumber parts "61.4 mW/cm2" at its first blank: the unit may hold digits.
func cutNumber(text string) (number, unit string) {
	number, unit, _ = strings.Cut(text, " ")
	return number, strings.TrimSpace(unit)
}

// askUnit is the message about a unit that is missing or not known.
func (l *layout) askUnit(c table.Column, example string, problems *place.Messages) {
	found := l.columns[c]
	unit := cmp.Or(found.unit, found.heading.remark)
	text := wording.Say("unit.unknown", wording.Values{"found": table.Clean(unit), "example": example, "column": c})
	switch {
	case unit == "":
		text = wording.Say("unit.none", wording.Values{"example": example, "column": c})
	case quantity.KnownUnit(unit):
		text = wording.Say("unit.of-another-quantity", wording.Values{"found": table.Clean(unit), "example": example, "column": c})
	}
	problems.Add(place.Message{Place: l.where(found), Text: text})
}

// ordered lists the columns in the order of the file, for messages and for what
// shows how a file is read.
func (l *layout) ordered() []table.Column {
	var list []table.Column
	for c := range l.columns {
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b table.Column) int { return l.columns[a].index - l.columns[b].index })
	return list
}
