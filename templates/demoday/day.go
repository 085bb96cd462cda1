// Package demoday makes up complete test days: a job sheet with every record
// that it names, as a laboratory would hand them in. The demo is one of them;
// tests ask for days of many shapes. A day depends on its seed alone, never on
// the clock or the machine.
//
// A Day is made in three steps: a Shape says what is wanted, the timeline gives
// each moment its field and its power, and the layouts decide how each file
// writes it. Times in a Day are true ones; a file's clock offset is taken off
// when the file is written. Fields in a Day are readings, before correction.
package demoday

import (
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// Day is a made-up test day in memory.
type Day struct {
	Shape       *Shape         // what was asked for; nil for the demo
	Sheet       jobsheet.Sheet // all but its register, runs and photos, which are held below
	Requirement *Requirement   // written to Sheet.Requirement.File; nil where a profile is named
	Register    Register
	Runs        []*Run
	Pictures    []Picture
}

// Run is one run with its records. Records may be shared between runs.
type Run struct {
	Sheet     jobsheet.Run // its file entries and probes are taken from the records below
	Dwell     *DwellRecord
	Power     *PowerFile  // nil where power was not recorded
	Forward   *Correction // of the power file; nil where there is none
	Reflected *Correction
	Motion    *MotionRecord // nil where nothing moved
	Probes    []Probe
}

// Probe is one field probe of a run.
type Probe struct {
	Sheet      jobsheet.Probe // its file entries are taken from the records below
	Log        *ProbeLog
	Correction *Correction // nil where the readings are used as they are
}

// File is where a record is written and how.
type File struct {
	Entry  table.Entry // as the job sheet names it
	Layout Layout
}

// ProbeLog is a field-probe log.
type ProbeLog struct {
	File
	Axes      bool // writes the three axes
	Total     bool // writes the total
	Status    bool // writes the status column
	Battery   bool // writes a column that no evaluation needs
	Frequency bool // writes the frequency of the generator
	Samples   []Sample
}

// Sample is one row of a probe log.
type Sample struct {
	At        quantity.Instant
	Total     quantity.FieldStrength
	Axes      [3]quantity.FieldStrength
	Frequency quantity.Frequency // 0 between the steps
	Mark      string             // of the status column
	Spoilt    string             // written instead of the reading where not empty
}

// PowerFile is a record of forward and reflected power at the places that the
// meters see: Forward and Reflected are without the coupler's corrections.
type PowerFile struct {
	File
	Time      bool // writes times
	Frequency bool // writes frequencies
	Rows      []PowerRow
}

// PowerRow is one row of a power file.
type PowerRow struct {
	At                 quantity.Instant
	Frequency          quantity.Frequency
	Forward, Reflected quantity.Power
	Spoilt             string // written instead of the forward power where not empty
}

// DwellRecord lists the visits of one run or of several.
type DwellRecord struct {
	File
	Run, Polarization, Position, Modulation bool // columns it writes beside frequency and times
	Duration                                bool // writes durations instead of ends
	Level, Observation, Purpose             bool
	Decimals                                int // of the frequency, in its unit
	Visits                                  []Visit
}

// Visit is one row of a dwell record.
type Visit struct {
	Run          string
	Polarization quantity.Polarization
	Position     quantity.Position
	Frequency    quantity.Frequency
	Start, End   quantity.Instant
	Modulation   quantity.Modulation
	Level        quantity.FieldStrength // set by the operator
	Observation  string
	Purpose      quantity.Purpose
}

// MotionRecord lists when antenna elements moved.
type MotionRecord struct {
	File
	Motions []record.Motion
}

// Correction is a correction table.
type Correction struct {
	File
	Decibels    bool // writes decibels, else plain factors
	Certificate string
	Points      []CorrectionPoint
}

// CorrectionPoint is one row of a correction table, as written.
type CorrectionPoint struct {
	Frequency quantity.Frequency
	Value     float64 // dB to add, or a factor to multiply by
}

// Register is the laboratory's list of equipment.
type Register struct {
	File
	Assets []record.Asset
}

// Picture is a photo of the setup with its caption.
type Picture struct {
	jobsheet.Photo
	Data []byte // a JPEG file
}

// Location returns the time zone of the report.
func (d *Day) Location() *time.Location { return d.Sheet.Report.Zone }

// Find returns the run with the id, or nil.
func (d *Day) Find(id string) *Run {
	for _, run := range d.Runs {
		if run.Sheet.ID == id {
			return run
		}
	}
	return nil
}
