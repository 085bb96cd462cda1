package record

import (
	"regexp"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// detectorWords are what headings say about how readings were taken.
var detectorWords = []struct {
	words    *regexp.Regexp
	detector string
}{
	{regexp.MustCompile(`(?i)(?:\b|\bE[xyz]?|_)rms\b|\beffektiv|\beff\.|\befficace\b`), quantity.DetectorRMS},
	{regexp.MustCompile(`(?i)\bpeak\b|\bpk\b|\bspitze|\bcrête\b`), quantity.DetectorPeak},
	{regexp.MustCompile(`(?i)\baverage\b|\bavg\b|\bmean\b|\bmittelwert|\bmoyenne?\b`), quantity.DetectorMean},
}

// detector returns how the readings of a log were taken, as far as the headings of
// its field columns say it: quantity.DetectorRMS, DetectorPeak or DetectorMean, ""
// where they say nothing or more than one thing.
func (l *layout) detector() string {
	found := ""
	for _, c := range []table.Column{table.Field, table.AxisX, table.AxisY, table.AxisZ} {
		if !l.has(c) {
			continue
		}
		for _, d := range detectorWords {
			if !d.words.MatchString(l.columns[c].heading.text) {
				continue
			}
			if found != "" && found != d.detector {
				return ""
			}
			found = d.detector
		}
	}
	return found
}
