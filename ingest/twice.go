package ingest

import (
	"sort"
	"time"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/templates/wording"
)

// logFile is a probe log by the file that it is.
type logFile struct{ path, sheet string }

// counted is where a row of a log counts: at what time, for which run.
type counted struct {
	at  quantity.Instant
	run string
}

// readTwice reports logs that are read with two clocks, so that one reading would
// count at two moments: a reading proves the field of one. Identity returns one path
// for all paths of a file.
func (d *Day) readTwice(identity func(path string) string) place.Messages {
	readings := map[logFile]map[*record.ProbeLog]bool{}
	file := func(log *record.ProbeLog) logFile { return logFile{identity(log.File.Path), log.File.Sheet} }
	for i := range d.Runs {
		for _, probe := range d.Runs[i].Probes {
			f := file(probe.Log)
			if readings[f] == nil {
				readings[f] = map[*record.ProbeLog]bool{}
			}
			readings[f][probe.Log] = true
		}
	}
	var problems place.Messages
	rows := map[logFile]map[int32]counted{}
	for i := range d.Runs {
		run := &d.Runs[i]
		for k := range run.Probes {
			probe := &run.Probes[k]
			f := file(probe.Log)
			if len(readings[f]) < 2 {
				continue // it is read in one way only
			}
			if rows[f] == nil {
				rows[f] = map[int32]counted{}
			}
			if m, twice := run.count(probe, rows[f]); twice {
				problems.Add(m)
			}
		}
	}
	return problems
}

// count notes the rows of a probe's log that count in visits of the run, and reports
// the first that counts at another time as well.
func (run *Run) count(probe *Probe, rows map[int32]counted) (m place.Message, twice bool) {
	from, to := probe.Sheet.Valid()
	log := probe.Log
	for _, v := range run.Visits {
		start, end := max(from, v.Start), min(to, v.End)
		i := sort.Search(len(log.Times), func(i int) bool { return log.Times[i] >= start })
		for ; i < len(log.Times) && log.Times[i] < end; i++ {
			row, at := log.Rows[i], log.Times[i]
			before, known := rows[row]
			if !known {
				rows[row] = counted{at, run.Sheet.ID}
			}
			if !known || before.at == at || twice {
				continue
			}
			twice = true
			m = place.Message{Place: probe.Sheet.Log.Place, Text: wording.Say("probe.reading-twice", wording.Values{"row": row, "file": log.File.Path,
				"first": before.at.UTC().Format(time.RFC3339Nano), "firstRun": before.run, "second": at.UTC().Format(time.RFC3339Nano), "secondRun": run.Sheet.ID})}
		}
	}
	return m, twice
}
