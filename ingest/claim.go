package ingest

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
)

// claim gives each run its rows of the dwell records and notes the rows that
// belong to none. A row that runs of different polarization or position claim
// would count as evidence twice: that is an error.
func (d *Day) claim() place.Messages {
	var problems place.Messages
	claims := map[*record.DwellRecord]map[int]*jobsheet.Run{}
	for i := range d.Runs {
		run := &d.Runs[i]
		claimed := claims[run.Dwell]
		if claimed == nil {
			claimed = map[int]*jobsheet.Run{}
			claims[run.Dwell] = claimed
		}
		for k, visit := range run.Dwell.Visits {
			if !belongs(&visit, run) {
				continue
			}
			if other := claimed[k]; other != nil && (other.Polarization != run.Sheet.Polarization || other.Position != run.Sheet.Position) {
				problems.Add(place.Message{
					Place:    place.Place{File: run.Dwell.File.Path, Sheet: run.Dwell.File.Sheet, Row: visit.Row},
					What:     fmt.Sprintf("this visit is claimed by the runs %s and %s", other.ID, run.Sheet.ID),
					Expected: "a column run, or polarization and position, that tells the runs apart",
					Hint:     "add the column to the record, or give each run a record of its own"})
				break
			}
			claimed[k] = run.Sheet
			run.Visits = append(run.Visits, visit)
		}
	}
	d.noteUnclaimed(claims)
	return problems
}

// belongs reports whether a row of a dwell record is a visit of the run: by the
// run column, else by polarization and position as far as they are written.
func belongs(visit *record.Visit, run *Run) bool {
	if run.Dwell.HasRun {
		return visit.Run == run.Sheet.ID
	}
	return (!run.Dwell.HasPolarization || visit.Polarization == run.Sheet.Polarization) &&
		(!run.Dwell.HasPosition || visit.Position == run.Sheet.Position)
}

func (d *Day) noteUnclaimed(claims map[*record.DwellRecord]map[int]*jobsheet.Run) {
	for i := range d.Runs {
		dwell := d.Runs[i].Dwell
		claimed := claims[dwell]
		if claimed == nil {
			continue // noted with an earlier run
		}
		delete(claims, dwell)
		rows := UnclaimedRows{File: dwell.File.Path}
		for k, visit := range dwell.Visits {
			if claimed[k] != nil {
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

// mergeEquipment completes the job sheet's list from the register. What the
// sheet says wins; where both say something else, the difference is noted.
func mergeEquipment(list []jobsheet.Equipment, register *record.Register) []Equipment {
	merged := make([]Equipment, len(list))
	for i := range list {
		e := Equipment{Equipment: list[i]}
		if register != nil {
			for k := range register.Assets {
				if asset := &register.Assets[k]; asset.Name == e.Asset {
					e.complete(asset)
				}
			}
		}
		merged[i] = e
	}
	return merged
}

func (e *Equipment) complete(asset *record.Asset) {
	e.RegisterRow = asset.Row
	text := func(name string, mine *string, theirs string) {
		if *mine == "" {
			*mine = theirs
		} else if theirs != "" && !strings.EqualFold(strings.TrimSpace(*mine), strings.TrimSpace(theirs)) {
			e.differ(name, *mine, theirs)
		}
	}
	day := func(name string, mine *time.Time, theirs time.Time) {
		if mine.IsZero() {
			*mine = theirs
		} else if !theirs.IsZero() && !mine.Equal(theirs) {
			e.differ(name, mine.Format(time.DateOnly), theirs.Format(time.DateOnly))
		}
	}
	frequency := func(name string, mine *quantity.Frequency, theirs quantity.Frequency) {
		if !quantity.Defined(*mine) {
			*mine = theirs
		} else if quantity.Defined(theirs) && !mine.Within(theirs, theirs) {
			e.differ(name, mine.String(), theirs.String())
		}
	}
	text("description", &e.Description, asset.Description)
	text("maker", &e.Maker, asset.Maker)
	text("model", &e.Model, asset.Model)
	text("serial", &e.Serial, asset.Serial)
	text("certificate", &e.Certificate, asset.Certificate)
	text("traceability", &e.Traceability, asset.Traceability)
	day("calibrated", &e.Calibrated, asset.Calibrated)
	day("due", &e.Due, asset.Due)
	frequency("from", &e.From, asset.From)
	frequency("to", &e.To, asset.To)
}

func (e *Equipment) differ(name, mine, theirs string) {
	e.Differences = append(e.Differences, fmt.Sprintf("%s is %s in the job sheet and %s in the register", name, mine, theirs))
}
