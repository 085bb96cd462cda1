package demoday

import (
	"strconv"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// grid lays out a probe log.
func (p *ProbeLog) grid() grid {
	columns := []column{p.moment(table.Time)}
	if p.Frequency {
		columns = append(columns, p.column(table.Frequency))
	}
	axes := [3]table.Column{table.AxisX, table.AxisY, table.AxisZ}
	if p.Axes {
		for _, axis := range axes {
			columns = append(columns, p.column(axis))
		}
	}
	if p.Total {
		columns = append(columns, p.column(table.Field))
	}
	if p.Status {
		columns = append(columns, p.column(table.Status))
	}
	if p.Battery {
		columns = append(columns, column{head: "Battery", unit: "V"})
	}
	writeFrequency, writeTotal := p.frequencies(4), p.fields(table.Field)
	writeAxis := [3]func(quantity.FieldStrength) string{p.fields(axes[0]), p.fields(axes[1]), p.fields(axes[2])}
	return grid{file: p.File, columns: columns, rows: len(p.Samples), row: func(i int, cells []cell) []cell {
		s := &p.Samples[i]
		cells = append(cells, instant(s.At))
		if p.Frequency {
			cells = append(cells, optional(s.Frequency, writeFrequency))
		}
		if p.Axes {
			for k, write := range writeAxis {
				cells = append(cells, spoil(write(s.Axes[k]), s.Spoilt))
			}
		}
		if p.Total {
			cells = append(cells, spoil(writeTotal(s.Total), s.Spoilt))
		}
		if p.Status {
			cells = append(cells, words(s.Mark))
		}
		if p.Battery {
			// The cell discharges by a hundredth of a volt in ten minutes or so.
			cells = append(cells, numeral(strconv.FormatFloat(4.1-0.01*float64(i/6000), 'f', 2, 64)))
		}
		return cells
	}}
}

// optional writes a frequency, or nothing for zero.
func optional(f quantity.Frequency, write func(quantity.Frequency) string) cell {
	if f == 0 {
		return cell{}
	}
	return numeral(write(f))
}

// spoil returns the number, or the text that stands in its place.
func spoil(text, spoilt string) cell {
	if spoilt != "" {
		return words(spoilt)
	}
	return numeral(text)
}

// grid lays out a power file.
func (p *PowerFile) grid() grid {
	var columns []column
	if p.Time {
		columns = append(columns, p.moment(table.Time))
	}
	if p.Frequency {
		columns = append(columns, p.column(table.Frequency))
	}
	columns = append(columns, p.column(table.Forward), p.column(table.Reflected))
	writeFrequency, writeForward, writeReflected := p.frequencies(6), p.powers(table.Forward), p.powers(table.Reflected)
	return grid{file: p.File, columns: columns, rows: len(p.Rows), row: func(i int, cells []cell) []cell {
		r := &p.Rows[i]
		if p.Time {
			cells = append(cells, instant(r.At))
		}
		if p.Frequency {
			cells = append(cells, numeral(writeFrequency(r.Frequency)))
		}
		return append(cells, spoil(writeForward(r.Forward), r.Spoilt), numeral(writeReflected(r.Reflected)))
	}}
}

// grid lays out a dwell record.
func (d *DwellRecord) grid() grid {
	columns := []column{d.column(table.Frequency), d.moment(table.Start)}
	if d.Duration {
		columns = append(columns, d.column(table.Duration))
	} else {
		columns = append(columns, d.moment(table.End))
	}
	for _, c := range []struct {
		written bool
		column  column
	}{
		{d.Run, d.column(table.Run)}, {d.Polarization, d.column(table.Polarization)},
		{d.Position, d.column(table.Position)}, {d.Modulation, d.column(table.Modulation)},
		{d.Level, column{head: "Level set", unit: "V/m"}}, {d.Observation, column{head: "Observation"}}, {d.Purpose, column{head: "Purpose"}},
	} {
		if c.written {
			columns = append(columns, c.column)
		}
	}
	writeFrequency := d.frequencies(d.Decimals)
	return grid{file: d.File, columns: columns, rows: len(d.Visits), row: func(i int, cells []cell) []cell {
		cells = append(cells, numeral(writeFrequency(d.Visits[i].Frequency)))
		return d.cells(&d.Visits[i], cells)
	}}
}

// cells appends what follows the frequency of a visit.
func (d *DwellRecord) cells(v *Visit, cells []cell) []cell {
	cells = append(cells, instant(v.Start))
	if d.Duration {
		cells = append(cells, numeral(seconds(v.End.Sub(v.Start))))
	} else {
		cells = append(cells, instant(v.End))
	}
	if d.Run {
		cells = append(cells, words(v.Run))
	}
	if d.Polarization {
		cells = append(cells, words(strings.ToUpper(string(v.Polarization[:1]))))
	}
	if d.Position {
		cells = append(cells, numeral(strconv.Itoa(int(v.Position))))
	}
	if d.Modulation {
		cells = append(cells, words(v.Modulation.String()))
	}
	if d.Level {
		cells = append(cells, numeral(significant(float64(v.Level), 4)))
	}
	if d.Observation {
		cells = append(cells, words(v.Observation))
	}
	if d.Purpose {
		cells = append(cells, words(string(v.Purpose)))
	}
	return cells
}

// grid lays out a motion record.
func (m *MotionRecord) grid() grid {
	return grid{file: m.File, columns: []column{m.moment(table.Start), m.moment(table.End)}, rows: len(m.Motions),
		row: func(i int, cells []cell) []cell {
			return append(cells, instant(m.Motions[i].Start), instant(m.Motions[i].End))
		}}
}

// grid lays out a correction table.
func (c *Correction) grid() grid {
	factor := c.column(table.Factor)
	if c.Decibels {
		factor.unit = "dB"
	}
	decimals := 4
	if c.Decibels {
		decimals = 2
	}
	writeFrequency := c.frequencies(frequencyDecimals(c.Layout))
	return grid{file: c.File, columns: []column{c.column(table.Frequency), factor}, rows: len(c.Points),
		row: func(i int, cells []cell) []cell {
			point := c.Points[i]
			return append(cells, numeral(writeFrequency(point.Frequency)), numeral(strconv.FormatFloat(point.Value, 'f', decimals, 64)))
		}}
}

// frequencyDecimals is how many decimals write whole kilohertz, and three at least.
func frequencyDecimals(l Layout) int {
	convert, _ := quantity.FrequencyUnit(l.unit(table.Frequency))
	if convert(1) > 1e6 {
		return 6
	}
	return 3
}

// grid lays out the register.
func (r *Register) grid() grid {
	var columns []column
	for _, head := range []string{"Asset", "Description", "Maker", "Model", "Serial", "Calibrated", "Due", "Certificate",
		"Traceability", "From", "To"} {
		columns = append(columns, column{head: head})
	}
	return grid{file: r.File, columns: columns, rows: len(r.Assets), row: func(i int, cells []cell) []cell {
		a := &r.Assets[i]
		for _, text := range []string{a.Name, a.Description, a.Maker, a.Model, a.Serial} {
			cells = append(cells, words(text))
		}
		cells = append(cells, day(dateText(a.Calibrated)), day(dateText(a.Due)))
		for _, text := range []string{a.Certificate, a.Traceability, frequencyOrNothing(a.From), frequencyOrNothing(a.To)} {
			cells = append(cells, words(text))
		}
		return cells
	}}
}

func frequencyOrNothing(f quantity.Frequency) string {
	if !quantity.Defined(f) {
		return ""
	}
	return frequencyText(f)
}
