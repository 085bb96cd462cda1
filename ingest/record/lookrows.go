package record

import (
	"fmt"
	"strconv"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// The readers as LookAt shows their rows: values in SI units, times in the zone
// of the file.

// rowValues collects the values of a row that are there.
type rowValues []Value

func (v *rowValues) add(c table.Column, text string) {
	if text != "" {
		*v = append(*v, Value{string(c), text})
	}
}

func (v *rowValues) time(c table.Column, at quantity.Instant, zone *time.Location) {
	v.add(c, at.In(zone).Format("2006-01-02 15:04:05.999999999 -07:00"))
}

// addDefined adds a quantity unless it is not defined.
func addDefined[T quantity.Number](v *rowValues, c table.Column, value T) {
	if quantity.Defined(value) {
		v.add(c, fmt.Sprint(value))
	}
}

func (p *probeReader) file() *File               { return &p.log.File }
func (p *probeReader) len() int                  { return len(p.log.Times) }
func (p *probeReader) times() []quantity.Instant { return p.log.Times }

func (p *probeReader) row(i int, zone *time.Location) (int, []Value) {
	var v rowValues
	v.time(table.Time, p.log.Times[i], zone)
	addDefined(&v, table.Field, p.log.Readings[i])
	if p.log.Frequencies != nil {
		addDefined(&v, table.Frequency, p.log.Frequencies[i])
	}
	if p.log.Faults[i] != NoFault {
		v.add(table.Status, "invalid")
	}
	return int(p.log.Rows[i]), v
}

func (p *powerReader) file() *File               { return &p.record.File }
func (p *powerReader) len() int                  { return len(p.record.Forward) }
func (p *powerReader) times() []quantity.Instant { return p.record.Times }

func (p *powerReader) row(i int, zone *time.Location) (int, []Value) {
	var v rowValues
	if p.record.Times != nil {
		v.time(table.Time, p.record.Times[i], zone)
	}
	if p.record.Frequencies != nil {
		addDefined(&v, table.Frequency, p.record.Frequencies[i])
	}
	addDefined(&v, table.Forward, p.record.Forward[i])
	if p.record.Reflected != nil {
		addDefined(&v, table.Reflected, p.record.Reflected[i])
	}
	return int(p.record.Rows[i]), v
}

func (d *dwellReader) file() *File               { return &d.record.File }
func (d *dwellReader) len() int                  { return len(d.record.Visits) }
func (d *dwellReader) times() []quantity.Instant { return nil }

func (d *dwellReader) row(i int, zone *time.Location) (int, []Value) {
	visit := &d.record.Visits[i]
	var v rowValues
	addDefined(&v, table.Frequency, visit.Frequency)
	v.time(table.Start, visit.Start, zone)
	v.time(table.End, visit.End, zone)
	v.add(table.Run, visit.Run)
	v.add(table.Polarization, string(visit.Polarization))
	if visit.Position != 0 {
		v.add(table.Position, strconv.Itoa(int(visit.Position)))
	}
	if visit.Modulation != nil {
		v.add(table.Modulation, visit.Modulation.String())
	}
	v.add(table.Purpose, string(visit.Purpose))
	v.add(levelSet, visit.LevelSet)
	v.add(observation, visit.Observation)
	return visit.Row, v
}

func (m *motionReader) file() *File               { return &m.record.File }
func (m *motionReader) len() int                  { return len(m.record.Motions) }
func (m *motionReader) times() []quantity.Instant { return nil }

func (m *motionReader) row(i int, zone *time.Location) (int, []Value) {
	var v rowValues
	v.time(table.Start, m.record.Motions[i].Start, zone)
	v.time(table.End, m.record.Motions[i].End, zone)
	return m.record.Motions[i].Row, v
}

func (c *correctionReader) file() *File               { return &c.record.File }
func (c *correctionReader) len() int                  { return len(c.record.Points) }
func (c *correctionReader) times() []quantity.Instant { return nil }

func (c *correctionReader) row(i int, _ *time.Location) (int, []Value) {
	point := &c.record.Points[i]
	var v rowValues
	addDefined(&v, table.Frequency, point.Frequency)
	addDefined(&v, table.Factor, point.Factor)
	v.add(uncertainty, point.Uncertainty)
	return point.Row, v
}

func (p *lowLevelReader) file() *File               { return &p.record.File }
func (p *lowLevelReader) len() int                  { return len(p.record.Points) }
func (p *lowLevelReader) times() []quantity.Instant { return nil }

func (p *lowLevelReader) row(i int, _ *time.Location) (int, []Value) {
	point := &p.record.Points[i]
	var v rowValues
	addDefined(&v, table.Frequency, point.Frequency)
	addDefined(&v, table.Forward, point.Forward)
	addDefined(&v, table.Field, point.Field)
	return point.Row, v
}

func (g *registerReader) file() *File               { return &g.record.File }
func (g *registerReader) len() int                  { return len(g.record.Assets) }
func (g *registerReader) times() []quantity.Instant { return nil }

func (g *registerReader) row(i int, _ *time.Location) (int, []Value) {
	a := &g.record.Assets[i]
	date := func(t time.Time) string {
		if t.IsZero() {
			return ""
		}
		return t.Format(time.DateOnly)
	}
	var v rowValues
	v.add(asset, a.Name)
	v.add(description, a.Description)
	v.add(maker, a.Maker)
	v.add(model, a.Model)
	v.add(serial, a.Serial)
	v.add(calibrated, date(a.Calibrated))
	v.add(due, date(a.Due))
	v.add(certificate, a.Certificate)
	v.add(traceability, a.Traceability)
	addDefined(&v, rangeFrom, a.From)
	addDefined(&v, rangeTo, a.To)
	return a.Row, v
}
