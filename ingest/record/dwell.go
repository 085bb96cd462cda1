package record

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// ReadDwellRecord reads a dwell record: one visit a row, in the order of the
// file. The error is a *place.Error that says why the file cannot be used.
func ReadDwellRecord(src table.Source, entry table.Entry, s Settings) (*DwellRecord, error) {
	var d *DwellRecord
	err := readTable(src, entry, s, dwellKind, func(l *layout) (evidence, error) {
		d = &DwellRecord{HasRun: l.has(table.Run), HasPolarization: l.has(table.Polarization), HasPosition: l.has(table.Position)}
		if level := l.columns[levelSet]; level != nil {
			d.LevelUnit = level.unit
		}
		r := &reader{layout: l}
		finest := math.MinInt
		err := r.eachRow(&d.File, func(row *table.Row) string {
			v, n, reason := r.visit(row)
			if reason == "" {
				d.Visits = append(d.Visits, v)
				d.File.saw(v.Start)
				d.File.saw(v.End)
				finest = max(finest, n.places)
			}
			return reason
		})
		d.Resolution = l.resolution(finest)
		if err == nil {
			err = d.File.orNothing(l)
		}
		return r.seen, err
	})
	if err != nil {
		return nil, err
	}
	return d, nil
}

// resolution is the finest decimal place of the frequency column in hertz.
func (l *layout) resolution(places int) quantity.Frequency {
	if quantity.Defined(l.entry.FrequencyResolution) && l.entry.FrequencyResolution > 0 {
		return l.entry.FrequencyResolution
	}
	if l.file.Workbook() || places == math.MinInt {
		return 0
	}
	unit := l.columns[table.Frequency].convert(1)
	if places >= 0 && places < len(powersOfTen) {
		return quantity.Frequency(unit / powersOfTen[places])
	}
	return quantity.Frequency(unit * math.Pow(10, float64(-places)))
}

func (r *reader) visit(row *table.Row) (Visit, numeral, string) {
	v := Visit{Row: row.Number}
	f, n, reason := r.frequency(row, r.columns[table.Frequency])
	if reason != "" {
		return v, n, reason
	}
	v.Frequency = f
	if v.Start, v.End, reason = r.span(row); reason != "" {
		return v, n, reason
	}
	v.Run, v.LevelSet, v.Observation = r.text(row, table.Run), r.text(row, levelSet), r.text(row, observation)
	if v.Polarization, reason = r.polarization(row); reason != "" {
		return v, n, reason
	}
	if v.Position, reason = r.position(row); reason != "" {
		return v, n, reason
	}
	v.Modulation, reason = r.modulation(row)
	return v, n, reason
}

// span reads start and end, or start and duration.
func (r *reader) span(row *table.Row) (start, end quantity.Instant, reason string) {
	s, reason := r.stamp(row, r.columns[table.Start])
	if reason != "" {
		return 0, 0, reason
	}
	if start, reason = r.timeline.at(s); reason != "" {
		return 0, 0, reason
	}
	if !r.has(table.End) {
		length, reason := r.duration(row)
		return start, start.Add(length), reason
	}
	e, reason := r.stamp(row, r.columns[table.End])
	if reason != "" {
		return 0, 0, reason
	}
	if end, reason = r.timeline.at(e); reason != "" {
		return 0, 0, reason
	}
	if end < start {
		return 0, 0, fmt.Sprintf("the end, %s, is before the start, %s", table.Shown(r.columns[table.End].of(row)), table.Shown(r.columns[table.Start].of(row)))
	}
	return start, end, ""
}

// duration reads a number of the column's unit, seconds where it has none, or
// h:mm:ss.
func (r *reader) duration(row *table.Row) (time.Duration, string) {
	c := r.columns[table.Duration]
	cell := c.of(row)
	if ns, ok := parseSpan(cell); ok {
		return time.Duration(ns), ""
	}
	n, reason := r.number(row, c)
	if reason != "" {
		return 0, reason
	}
	perUnit, ok := quantity.TimeUnitSeconds(c.unit)
	if !ok {
		perUnit = 1
	}
	if n.value < 0 || n.value*perUnit > 1e7 {
		return 0, c.unreadable(cell, "possible duration")
	}
	if ns, ok := r.clock.scaled(cell, perUnit*float64(time.Second)); ok {
		return time.Duration(ns), ""
	}
	return time.Duration(math.Round(n.value * perUnit * float64(time.Second))), ""
}

// polarizationWords are the words for the two polarizations, folded.
var polarizationWords = map[string]string{
	"h": "horizontal", "hor": "horizontal", "horiz": "horizontal", "horizontal": "horizontal", "horizontale": "horizontal",
	"orizzontale": "horizontal", "horisontal": "horizontal", "horisontell": "horizontal", "vaakasuora": "horizontal", "vaaka": "horizontal",
	"v": "vertical", "ver": "vertical", "vert": "vertical", "vertical": "vertical", "vertikal": "vertical", "verticale": "vertical",
	"vertikale": "vertical", "vertikalt": "vertical", "vertikall": "vertical", "pystysuora": "vertical", "pysty": "vertical",
}

func (r *reader) polarization(row *table.Row) (string, string) {
	text := r.text(row, table.Polarization)
	if text == "" {
		return "", ""
	}
	if word, ok := polarizationWords[fold(text)]; ok {
		return word, ""
	}
	return "", "“" + text + "” is no polarization; H, V, horizontal or vertical was expected"
}

func (r *reader) position(row *table.Row) (int, string) {
	text := r.text(row, table.Position)
	if text == "" {
		return 0, ""
	}
	n, ok := r.numbers.parse([]byte(text))
	position := int(n.value)
	if !ok {
		var err error
		if position, err = strconv.Atoi(text); err != nil {
			return 0, "“" + text + "” is no number of an antenna position"
		}
	}
	if ok && n.value != float64(position) || position < 1 || position > 1000 {
		return 0, "“" + text + "” is no number of an antenna position"
	}
	return position, ""
}

func (r *reader) modulation(row *table.Row) (*quantity.Modulation, string) {
	text := r.text(row, table.Modulation)
	if text == "" {
		return nil, ""
	}
	m, err := quantity.ParseModulation(text)
	if err != nil {
		return nil, "the modulation cannot be understood: " + err.Error()
	}
	return &m, ""
}
