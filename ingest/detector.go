package ingest

import (
	"fmt"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
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
				Place: probe.Sheet.Place, What: fmt.Sprintf("the detector of the probe and the headings of %s disagree", probe.Log.File.Path),
				Found: stated + " in the job sheet, " + probe.Log.Detector + " in the headings", Expected: "one of them in both",
				Hint: "find out how the probe was set, and correct detector in the job sheet; a measured modulation_factor decides as well",
			})
		}
	}
	return problems
}
