package check

import (
	"math"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

// use is a part of time in which an asset was in use in a run: from its first
// instant to the one behind its last.
type use struct{ from, to quantity.Instant }

// always is the use of an asset that served through the whole of a run.
var always = use{math.MinInt64, math.MaxInt64}

// usesOf returns when an asset was in use in a run: at all times, but for a probe
// that the job sheet names for a part of the run. Assets that the run does not name
// are in use at all times as well.
func usesOf(sheet *jobsheet.Run, asset string) []use {
	var uses []use
	for i := range sheet.Probes {
		if sheet.Probes[i].Asset == asset {
			from, to := sheet.Probes[i].Valid()
			uses = append(uses, use{from, to})
		}
	}
	if len(uses) == 0 || sheet.Antenna == asset || sheet.Amplifier == asset {
		return []use{always}
	}
	return uses
}

// during is the first and the last instant of a visit within the use.
func (u use) during(v *evaluate.Visit) (first, last quantity.Instant, used bool) {
	first, last = max(u.from, v.Record.Start), min(u.to, v.Record.End)
	if u != always && first >= last {
		return 0, 0, false
	}
	if u.to <= v.Record.End {
		last-- // the end of the use is no longer in it
	}
	return first, last, true
}
