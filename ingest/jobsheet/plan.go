package jobsheet

import (
	"time"

	"fieldheld/ingest/document"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

func readPlan(t *document.Table) Plan {
	p := Plan{Date: t.Date("date"), Levelling: optionalDuration(t, "levelling", "1.5 s")}
	t.Close()
	return p
}

// readForecasts reads [forecast], or several [[forecast]]. Two that serve the
// same polarization and position would give two answers: that is an error.
func readForecasts(root *document.Table, zone *time.Location) []Forecast {
	const key = "forecast"
	var tables []*document.Table
	switch {
	case root.IsList(key):
		tables = root.Tables(key)
	case root.Has(key):
		tables = []*document.Table{root.Table(key)}
	default:
		root.Table(key)
	}
	var list []Forecast
	for _, t := range tables {
		f := readForecast(t, zone)
		for _, before := range list {
			if f.overlaps(before) {
				t.Fail("file", wording.Say("sheet.forecasts-overlap", wording.Values{"file": f.Record.File, "other": before.Record.File}))
			}
		}
		list = append(list, f)
	}
	return list
}

func readForecast(t *document.Table, zone *time.Location) Forecast {
	f := Forecast{
		Place:        t.Place(),
		Forward:      readFile(t, "forward_correction", zone),
		Field:        readFile(t, "correction", zone),
		Polarization: readPolarization(t, ""),
		Position:     quantity.Position(t.Whole("position", 0, 1)),
		ForwardMax:   optionalPower(t, "forward_max"),
	}
	if t.IsTable("file") { // the entry as a table of its own
		f.Record = *readFile(t, "file", zone)
	} else {
		f.Record = readEntry(t, zone)
	}
	t.Close()
	return f
}

// overlaps reports whether two records serve a polarization and position both.
func (f Forecast) overlaps(other Forecast) bool {
	return (f.Polarization == "" || other.Polarization == "" || f.Polarization == other.Polarization) &&
		(f.Position == 0 || other.Position == 0 || f.Position == other.Position)
}

// Serves reports whether the record was made for the polarization and position.
func (f Forecast) Serves(polarization quantity.Polarization, position quantity.Position) bool {
	return f.overlaps(Forecast{Polarization: polarization, Position: position})
}
