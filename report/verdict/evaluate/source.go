package evaluate

import (
	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
)

// source is what proves the level of a run's visits: readings over time, each with
// the level that it shows, whether it can be trusted, and the row where it stands.
// What is sustained, held and available follows from the series of all sources of
// a run, whatever they are.
type source interface {
	// figures lays the readings in the window of a visit out in the series of the
	// source and returns what they show alone. The error says which input they
	// cannot be computed from.
	figures(v *Visit, w window) (SourceFigures, error)
	// series is the readings of the visit that was laid out last.
	series() *series
	// reading is one of them: the part of the figures that it belongs to, 0 where
	// they have none, its row in the file and what was read there.
	reading(v *Visit, sample int) (part, row int, raw quantity.FieldStrength)
}

// sourcesOf returns what proves the level of a run, prepared for its visits, of
// which the windows are given. A new kind of source is one line here.
func sourcesOf(run *ingest.Run, windows []window) []source {
	var sources []source
	for _, entries := range run.Sheet.Places() {
		sources = append(sources, newPlace(run, entries, windows))
	}
	return sources
}
