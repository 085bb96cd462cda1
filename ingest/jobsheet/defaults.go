package jobsheet

import (
	"time"

	"fieldheld/ingest/document"
	"fieldheld/templates/wording"
)

// defaults are what the entries of all runs have in common; nil where the sheet
// says nothing.
type defaults struct{ probe, power, dwell, motion *document.Table }

// readDefaults reads [defaults]. Each table of it is read by itself first, so that a
// mistake is told once, where it stands, and not for every run.
func readDefaults(root *document.Table, zone *time.Location) defaults {
	var d defaults
	t := root.Table("defaults")
	one := func(key string, into **document.Table, read func(*document.Table)) {
		table := t.Table(key)
		if !t.Has(key) {
			return
		}
		if table.Has("file") {
			table.Fail("file", wording.Say("sheet.default-with-file", wording.Values{"found": document.Describe(table.Value("file"))}))
			return
		}
		if table.Sound(func() { read(table.With("file", "default")) }) {
			*into = table
		}
	}
	one("probe", &d.probe, func(t *document.Table) { readProbe(t, zone) })
	one("power", &d.power, func(t *document.Table) { readPower(t, zone) })
	entry := func(t *document.Table) {
		readEntry(t, zone)
		t.Close()
	}
	one("dwell", &d.dwell, entry)
	one("motion", &d.motion, entry)
	t.Close()
	return d
}
