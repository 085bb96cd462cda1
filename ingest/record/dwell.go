package record

import (
	"math"
	"strconv"
	"time"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/spelling"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// ReadDwellRecord reads a dwell record: one visit a row, in the order of the
// file. The error is a *place.Error that says why the file cannot be used.
func ReadDwellRecord(src table.Source, entry table.Entry, s Settings) (*DwellRecord, error) {
	d := &dwellReader{}
	if err := readTable(src, entry, s, dwellKind, d); err != nil {
		return nil, err
	}
	return d.record, nil
}

type dwellReader struct {
	record  *DwellRecord
	unknown []unknownPurpose // words, each where it stands first
}

func (d *dwellReader) check(l *layout) error {
	if err := d.askPurpose(l); err != nil {
		return err
	}
	return d.record.File.finish(l)
}

func (d *dwellReader) read(l *layout) (evidence, error) {
	record := &DwellRecord{HasRun: l.has(table.Run), HasPolarization: l.has(table.Polarization), HasPosition: l.has(table.Position)}
	if level := l.columns[levelSet]; level != nil {
		record.LevelUnit = level.unit
	}
	r := &reader{layout: l}
	d.unknown = nil
	finest := math.MinInt
	err := r.eachRow(&record.File, func(row *table.Row) wording.Text {
		v, places, reason := r.visit(row)
		if reason.IsZero() {
			v.Purpose = d.purpose(r, row)
			record.Visits = append(record.Visits, v)
			record.File.saw(v.Start)
			record.File.saw(v.End)
			finest = max(finest, places)
		}
		return reason
	})
	record.Resolution = l.resolution(finest)
	d.record = record
	return r.seen, err
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
	if places >= 0 && places <= 22 { // powers of ten that a float64 holds exactly
		return quantity.Frequency(unit / math.Pow10(places))
	}
	return quantity.Frequency(unit * math.Pow(10, float64(-places)))
}

// visit reads one row, and how many decimal places its frequency is written with.
func (r *reader) visit(row *table.Row) (v Visit, places int, reason wording.Text) {
	f, n, reason := r.frequency(row, r.columns[table.Frequency])
	if !reason.IsZero() {
		return v, 0, reason
	}
	v = Visit{Row: row.Number, Frequency: f, Run: r.text(row, table.Run),
		LevelSet: r.text(row, levelSet), Observation: r.text(row, observation)}
	if v.Start, v.End, reason = r.span(row); !reason.IsZero() {
		return v, 0, reason
	}
	if v.Polarization, reason = r.polarization(row); !reason.IsZero() {
		return v, 0, reason
	}
	if v.Position, reason = r.position(row); !reason.IsZero() {
		return v, 0, reason
	}
	v.Modulation, reason = r.modulation(row)
	return v, n.Places, reason
}

// day is how much a clock on the wall goes on in a day.
const day = int64(24 * time.Hour)

// span reads start and end, or start and duration.
func (r *reader) span(row *table.Row) (start, end quantity.Instant, reason wording.Text) {
	s, reason := r.stamp(row, r.columns[table.Start])
	if !reason.IsZero() {
		return 0, 0, reason
	}
	if start, reason = r.timeline.At(s); !reason.IsZero() {
		return 0, 0, reason
	}
	if !r.has(table.End) {
		length, reason := r.duration(row)
		return start, start.Add(length), reason
	}
	e, reason := r.stamp(row, r.columns[table.End])
	if !reason.IsZero() {
		return 0, 0, reason
	}
	if s.Form == notation.WallClock && e.Form == notation.WallClock && s.Nanoseconds-e.Nanoseconds > day/2 && r.sharesDate() {
		e.Nanoseconds += day // it ended after midnight, and the date is that of the start
	}
	if end, reason = r.timeline.At(e); !reason.IsZero() {
		return 0, 0, reason
	}
	if end < start {
		return 0, 0, wording.Say("row.end-before-start", wording.Values{"end": table.Shown(r.columns[table.End].of(row)), "start": table.Shown(r.columns[table.Start].of(row))})
	}
	return start, end, wording.Text{}
}

// sharesDate reports whether start and end take their date from one column.
func (r *reader) sharesDate() bool {
	return len(r.times) == 2 && r.times[0].date != nil && r.times[0].date == r.times[1].date
}

// duration reads a number of the column's unit, or h:mm:ss.
func (r *reader) duration(row *table.Row) (time.Duration, wording.Text) {
	c := r.columns[table.Duration]
	cell := c.of(row)
	if passed, ok := notation.ParseSpan(cell); ok {
		return passed, wording.Text{}
	}
	n, reason := r.number(row, c)
	if !reason.IsZero() {
		return 0, reason
	}
	perUnit, ok := quantity.TimeUnitSeconds(c.unit)
	switch {
	case c.partOfDay:
		perUnit = 24 * 60 * 60
	case !ok:
		return 0, c.unreadable(cell, wording.Say("cell.duration-of-known-unit", nil))
	}
	if n.Value < 0 || n.Value*perUnit > 1e7 {
		return 0, c.unreadable(cell, wording.Say("cell.duration", nil))
	}
	if passed, ok := r.clock.Numbers.Duration(cell, perUnit*float64(time.Second)); ok && !r.file.Workbook() {
		return passed, wording.Text{}
	}
	if r.file.Workbook() {
		return time.Duration(math.Round(n.Value*perUnit*1e3)) * time.Millisecond, wording.Text{}
	}
	return time.Duration(math.Round(n.Value * perUnit * float64(time.Second))), wording.Text{}
}

// polarizationWords are the words for the two polarizations, folded.
var polarizationWords = map[string]quantity.Polarization{
	"h": "horizontal", "hor": "horizontal", "horiz": "horizontal", "horizontal": "horizontal", "horizontale": "horizontal",
	"orizzontale": "horizontal", "horisontal": "horizontal", "horisontell": "horizontal", "vaakasuora": "horizontal", "vaaka": "horizontal",
	"v": "vertical", "ver": "vertical", "vert": "vertical", "vertical": "vertical", "vertikal": "vertical", "verticale": "vertical",
	"vertikale": "vertical", "vertikalt": "vertical", "vertikall": "vertical", "pystysuora": "vertical", "pysty": "vertical",
}

func (r *reader) polarization(row *table.Row) (quantity.Polarization, wording.Text) {
	text := r.text(row, table.Polarization)
	if text == "" {
		return "", wording.Text{}
	}
	if word, ok := polarizationWords[spelling.Fold(text)]; ok {
		return word, wording.Text{}
	}
	return "", wording.Say("cell.no-polarization", wording.Values{"found": text})
}

func (r *reader) position(row *table.Row) (quantity.Position, wording.Text) {
	text := r.text(row, table.Position)
	if text == "" {
		return 0, wording.Text{}
	}
	n, ok := r.numbers.Parse([]byte(text))
	position := int(n.Value)
	if !ok {
		var err error
		if position, err = strconv.Atoi(text); err != nil {
			return 0, wording.Say("cell.no-position", wording.Values{"found": text})
		}
	}
	if ok && n.Value != float64(position) || position < 1 || position > 1000 {
		return 0, wording.Say("cell.no-position", wording.Values{"found": text})
	}
	return quantity.Position(position), wording.Text{}
}

func (r *reader) modulation(row *table.Row) (*quantity.Modulation, wording.Text) {
	text := r.text(row, table.Modulation)
	if text == "" {
		return nil, wording.Text{}
	}
	m, err := quantity.ParseModulation(text)
	if err != nil {
		return nil, wording.Say("cell.no-modulation", wording.Values{"error": err})
	}
	return &m, wording.Text{}
}
