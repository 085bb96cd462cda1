// Package ingest opens the folder of a test day and reads everything that its
// files say, each value with its place. It knows nothing of limits.
//
// Reading takes two calls: Open reads the job sheet, Folder.Read the records. In
// between, the requirement is resolved, because it may say how long a gap between
// samples still counts as continuous, which the readers need.
package ingest

import (
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/record"
)

// Day is everything that the files of a test day say.
type Day struct {
	Sheet     *jobsheet.Sheet
	Runs      []Run           // in the order of the job sheet
	Equipment []Equipment     // the sheet's list, completed from the register
	Read      []record.File   // every record that was read, once, in the order of the sheet
	Unclaimed []UnclaimedRows // rows of dwell records that belong to no run
	Annexes   []Annex         // in the order of the sheet
	Files     []File          // every file of the day that was read, sorted by path
}

// Run is one run with the records that belong to it.
type Run struct {
	Sheet               *jobsheet.Run
	Dwell               *record.DwellRecord
	Visits              []record.Visit // the rows of Dwell that belong to this run and are test steps
	OtherRows           []record.Visit // those that are none: searches, trials, aborted steps
	Power               *record.PowerFile
	ForwardCorrection   *record.Correction
	ReflectedCorrection *record.Correction
	Motion              *record.MotionRecord
	Probes              []Probe
}

// Probe is one field probe of a run with its log and correction.
type Probe struct {
	Sheet      *jobsheet.Probe
	Log        *record.ProbeLog
	Correction *record.Correction // nil where the sheet names none
}

// Equipment is one asset of the day: the sheet's entry, completed from the register.
type Equipment struct {
	jobsheet.Equipment
	RegisterRow  int         // 0 where the register does not list it
	RegisterFile record.File // the register that does
	Folders      []string    // of the days whose sheets list it; nil: it counts for the whole test
	Differences  []string    // what sheet and register say differently, in words
	Conflict     []int       // rows of the register that list it and say different things, so that none counts
}

// UnclaimedRows are rows of a dwell record that belong to no run of the sheet.
type UnclaimedRows struct {
	File        string
	Count       int
	First, Last int // lowest and highest of the rows
}

// File is one file of the day, for the list of evidence.
type File struct {
	Path        string // relative to the day's folder, forward slashes
	Roles       []string
	Size        int64
	SHA256      string // hexadecimal
	RowsRead    int
	RowsUnread  int
	First, Last time.Time // zero where the file has no times; UTC
}

// Asset returns the asset of that name, or nil where the list lacks it.
func (d *Day) Asset(name string) *Equipment {
	for i := range d.Equipment {
		if d.Equipment[i].Asset == name {
			return &d.Equipment[i]
		}
	}
	return nil
}
