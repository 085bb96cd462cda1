package evaluate

import (
	"math"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
)

// usesOf tells when the probes of a run were in use, and counts those readings in
// visits that are left out because they were not. It is nil where every probe was
// in use from beginning to end.
func usesOf(run *ingest.Run, windows []window) []Use {
	bounded := false
	for i := range run.Probes {
		bounded = bounded || run.Probes[i].Sheet.IsBounded()
	}
	if !bounded {
		return nil
	}
	taken := takenRows(run, windows)
	var uses []Use
	for i := range run.Probes {
		uses = append(uses, useOf(i, &run.Probes[i], windows, taken))
	}
	return uses
}

// logRow is a row of a log, by which two entries that read one file are told to read it.
type logRow struct {
	path, sheet string
	number      int32
}

// takenRows are the rows that probes of a run read while they were in use.
func takenRows(run *ingest.Run, windows []window) map[logRow]bool {
	taken := map[logRow]bool{}
	for i := range run.Probes {
		log, valid := run.Probes[i].Log, validOf(&run.Probes[i])
		for _, w := range windows {
			from, to := w.cut(valid).span(log.Times)
			for k := from; k < to; k++ {
				taken[logRow{log.File.Path, log.File.Sheet, log.Rows[k]}] = true
			}
		}
	}
	return taken
}

func validOf(probe *ingest.Probe) window {
	from, to := probe.Sheet.Valid()
	return window{from, to}
}

func useOf(index int, probe *ingest.Probe, windows []window, taken map[logRow]bool) Use {
	use := Use{Probe: index, Low: quantity.Undefined[quantity.FieldStrength](), High: quantity.Undefined[quantity.FieldStrength]()}
	log, valid := probe.Log, validOf(probe)
	for _, w := range windows {
		part := w.cut(valid)
		if part.start < part.end {
			if !use.InUse() || part.start < use.First {
				use.First = part.start
			}
			use.Last = max(use.Last, part.end)
		}
		from, to := w.span(log.Times)
		for k := from; k < to; k++ {
			switch at := log.Times[k]; {
			case part.start <= at && at < part.end:
				use.Readings++
			case !taken[logRow{log.File.Path, log.File.Sheet, log.Rows[k]}]:
				use.leave(int(log.Rows[k]), log.Readings[k])
			}
		}
	}
	return use
}

// leave counts a reading that is left out.
func (u *Use) leave(row int, reading quantity.FieldStrength) {
	if u.Left++; u.Left == 1 {
		u.LeftRows = RowRange{row, row}
	}
	u.LeftRows.First, u.LeftRows.Last = min(u.LeftRows.First, row), max(u.LeftRows.Last, row)
	if !math.IsNaN(float64(reading)) {
		u.Low, u.High = quantity.Lower(u.Low, reading), quantity.Higher(u.High, reading)
	}
}
