package ingest

import (
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/templates/wording"
)

// dwellFile is a dwell record by the file that it is, not by how the job sheet
// names it: links and entries that read other columns lead to the same rows.
type dwellFile struct{ path, sheet string }

// claims are the rows of dwell records that runs have taken, by file and row.
type claims map[dwellFile]map[int]*jobsheet.Run

// claim gives each run its rows of the dwell records and notes the rows that
// belong to none. A row that runs of different polarization or position claim
// would count as evidence twice: that is an error. Identity returns one path for
// all paths of a file.
func (d *Day) claim(identity func(path string) string) place.Messages {
	var problems place.Messages
	taken := claims{}
	for i := range d.Runs {
		run := &d.Runs[i]
		file := dwellFile{identity(run.Dwell.File.Path), run.Dwell.File.Sheet}
		claimed := taken[file]
		if claimed == nil {
			claimed = map[int]*jobsheet.Run{}
			taken[file] = claimed
		}
		for _, visit := range run.Dwell.Visits {
			if !belongs(&visit, run) {
				continue
			}
			if other := claimed[visit.Row]; other != nil && (other.Polarization != run.Sheet.Polarization || other.Position != run.Sheet.Position) {
				problems.Add(place.Message{
					Place: place.Place{File: run.Dwell.File.Path, Sheet: run.Dwell.File.Sheet, Row: visit.Row},
					Text:  wording.Say("dwell.claimed-twice", wording.Values{"run": other.ID, "other": run.Sheet.ID})})
				break
			}
			if other := contradiction(&visit, run); !other.IsZero() {
				problems.Add(place.Message{
					Place: place.Place{File: run.Dwell.File.Path, Sheet: run.Dwell.File.Sheet, Row: visit.Row},
					Text: wording.Say("dwell.contradicts-run", wording.Values{"run": run.Sheet.ID, "found": other,
						"polarization": run.Sheet.Polarization, "position": run.Sheet.Position})})
				break
			}
			if visit.Purpose == quantity.TestStep && !run.Sheet.Purpose.IsStep() {
				problems.Add(place.Message{
					Place: place.Place{File: run.Dwell.File.Path, Sheet: run.Dwell.File.Sheet, Row: visit.Row},
					Text:  wording.Say("dwell.purposes-differ", wording.Values{"run": run.Sheet.ID, "record": visit.Purpose, "sheet": run.Sheet.Purpose})})
				break
			}
			claimed[visit.Row] = run.Sheet
			run.take(visit)
		}
	}
	d.noteUnclaimed(taken, identity)
	return problems
}

// take adds a row to the run: as a visit where it is a test step.
func (run *Run) take(row record.Visit) {
	if row.Purpose == "" {
		row.Purpose = run.Sheet.Purpose
	}
	if row.Purpose.IsStep() {
		run.Visits = append(run.Visits, row)
	} else {
		run.OtherRows = append(run.OtherRows, row)
	}
}

// belongs reports whether a row of a dwell record is a visit of the run: by the
// run column, else by polarization and position as far as they are written.
func belongs(visit *record.Visit, run *Run) bool {
	if run.Dwell.HasRun {
		return visit.Run == run.Sheet.OwnID()
	}
	return (!run.Dwell.HasPolarization || visit.Polarization == run.Sheet.Polarization) &&
		(!run.Dwell.HasPosition || visit.Position == run.Sheet.Position)
}

// contradiction says where a row that names its run states another polarization
// or position than the run has; nothing where it does not.
func contradiction(visit *record.Visit, run *Run) wording.Text {
	switch {
	case visit.Polarization != "" && visit.Polarization != run.Sheet.Polarization:
		return wording.Say("dwell.polarization", wording.Values{"polarization": visit.Polarization})
	case visit.Position != 0 && visit.Position != run.Sheet.Position:
		return wording.Say("dwell.position", wording.Values{"position": visit.Position})
	}
	return wording.Text{}
}

func (d *Day) noteUnclaimed(taken claims, identity func(path string) string) {
	for i := range d.Runs {
		dwell := d.Runs[i].Dwell
		file := dwellFile{identity(dwell.File.Path), dwell.File.Sheet}
		claimed := taken[file]
		if claimed == nil {
			continue // noted with an earlier run
		}
		delete(taken, file)
		rows := UnclaimedRows{File: dwell.File.Path}
		for _, visit := range dwell.Visits {
			if claimed[visit.Row] != nil {
				continue
			}
			if rows.Count++; rows.Count == 1 {
				rows.First = visit.Row
			}
			rows.First, rows.Last = min(rows.First, visit.Row), max(rows.Last, visit.Row)
		}
		if rows.Count > 0 {
			d.Unclaimed = append(d.Unclaimed, rows)
		}
	}
}
