package ingest

import (
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// detectorFaults reports probes whose log says in its headings that its readings
// were taken otherwise than the job sheet says: the wrong one of the two would
// move every level by the modulation's factor. Where that factor was measured, or
// the readings were taken unmodulated, the detector decides nothing.
func (d *Day) detectorFaults() place.Messages {
	var problems place.Messages
	for i := range d.Runs {
		for k := range d.Runs[i].Probes {
			probe := &d.Runs[i].Probes[k]
			stated := probe.Sheet.Detector
			measured := probe.Sheet.Unmodulated || quantity.Defined(probe.Sheet.ModulationFactor)
			if measured || stated == "" || probe.Log.Detector == "" || stated == probe.Log.Detector {
				continue
			}
			problems.Add(place.Message{
				Place: probe.Sheet.Place,
				Text:  wording.Say("probe.detectors-differ", wording.Values{"file": probe.Log.File.Path, "sheet": stated, "headings": probe.Log.Detector}),
			})
		}
	}
	return problems
}
