// Package report holds the report's model: everything that the terminal, the
// JSON document and the PDF say, computed once by Build. Renderings compute
// nothing.
package report

import (
	"math"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

// The model is made of the types that computed it; these are their names here,
// so that renderings need to know this package only.
type (
	// State is how much of the proof is there.
	State = check.State
	// Visit is one row of a dwell record with its figures.
	Visit = check.Visit
	// Step is all visits of a cell at one frequency.
	Step = check.Step
	// Hole is a part of a required range without evidence.
	Hole = check.Hole
	// FindingState says what a finding decides.
	FindingState = check.FindingState
	// Evidence is where a finding can be seen.
	Evidence = check.Evidence
	// Finding is one thing that the measurement shows.
	Finding = check.Finding
	// VisitRef points at a visit: indices of run and visit plus one, 0 for none.
	VisitRef = check.VisitRef
	// Sheet is the job sheet.
	Sheet = jobsheet.Sheet
	// Requirement is what the day has to show.
	Requirement = requirement.Requirement
	// Override is one key that the job sheet set otherwise than the requirement.
	Override = requirement.Override
)

// The states, under the names of this package.
const (
	NotShown          = check.NotShown
	NotMet            = check.NotMet
	Met               = check.Met
	MetWithDeviations = check.MetWithDeviations
	NotRequired       = check.NotRequired

	Open     = check.Open
	Accepted = check.Accepted
	Note     = check.Note
)

// DayState is the verdict on the whole day.
type DayState string

// The verdicts on a day.
const (
	Demonstrated               DayState = "demonstrated"
	DemonstratedWithDeviations DayState = "demonstrated with deviations"
	NotDemonstrated            DayState = "not demonstrated"
)

// Report is the whole report.
type Report struct {
	State          DayState
	Sheet          *Sheet
	Requirement    *Requirement
	Budget         *uncertainty.Budget // nil where no uncertainty is stated
	Cells          []Cell
	Runs           []Run
	Findings       []Finding // in the order of the table of checks, then of runs and frequencies
	Repeat         []Repeat
	Equipment      []Equipment
	Corrections    []Correction
	Files          []File // every input file, sorted by path
	Events         []Event
	Incidents      []Incident // in the order of their times
	Example        *Example   // nil where no visit has a corrected field
	FirstTest      time.Time  // start of the first visit, in the report's zone; zero where there is none
	LastTest       time.Time  // end of the last visit
	Answer         string     // what was shown, in one sentence
	InNumbers      string     // the same in numbers: least margin, uncertainty and risk
	Behaviour      string     // what the article did, and of what that says nothing
	Items          []Item     // what a report needs
	Missing        []string   // what the report lacks; a report with any is a draft
	Omitted        []Omission
	Program        Program
	Changes        []Change // against the report that this revision replaces, where the job sheet names its file
	ManifestDigest string   // SHA-256 of the manifest, hexadecimal
}

// Draft reports whether something that a report needs is missing.
func (r *Report) Draft() bool { return len(r.Missing) > 0 }

// Cell is an evaluated cell with its statistics.
type Cell struct {
	check.Cell
	Statistics Statistics
	Findings   []int // indices of Report.Findings that act on the cell
}

// Extreme is a figure and the frequency at which it stands. Undefined where
// the cell has no such figure.
type Extreme struct {
	Value     float64
	Frequency quantity.Frequency
	Run       string
}

func noExtreme() Extreme {
	return Extreme{Value: math.NaN(), Frequency: quantity.Undefined[quantity.Frequency]()}
}

// Statistics are the figures of a cell over its deciding visits.
type Statistics struct {
	LeastMargin, MedianMargin, GreatestMargin Extreme // dB
	LeastHeld                                 Extreme // s
	GreatestVSWR                              Extreme
	GreatestForward                           Extreme          // W
	NoLevel                                   int              // steps whose deciding visit held no level for the dwell
	Headroom                                  quantity.Decibel // of the greatest forward power under forward_max; NaN where none is given
	Risk                                      float64          // 1 − conformance probability at the least margin; NaN where not known
}

// Run is a run with its visits and what the job sheet says of it.
type Run struct {
	check.Run
	Sheet         *jobsheet.Run
	First, Last   time.Time // of its visits, else of its other rows, in the report's zone
	MedianForward quantity.Power
}

// Repeat is one frequency that has to be run again.
type Repeat struct {
	Polarization quantity.Polarization
	Position     quantity.Position
	Frequency    quantity.Frequency
	Setting      quantity.Frequency // what a generator is set to for it: Frequency, rounded where it fills a hole
	Why          string
	Hole         bool // it fills a hole; else its step was visited
}

// Equipment is one asset as the report lists it: the job sheet's entry,
// completed from the register.
type Equipment struct {
	jobsheet.Equipment
	RegisterRow int      // 0 where the register does not list it
	Runs        []string // ids of the runs that name it
	Uses        []Use    // of a probe that a run names for a part of its time
	State       string   // on the test dates, in words; why none is required says CalibrationReason
}

// Use is when a probe was in use in the visits of a run for a part of which the job
// sheet names it. From and To are zero where no visit falls into that part.
type Use struct {
	Run      string
	From, To time.Time // in the report's zone
}

// Correction is a correction table as it was used.
type Correction struct {
	record.Correction
	Use  string   // what it corrects: "field probe FP-03", "forward power"
	Runs []string // ids
}

// File is one input file in the list of evidence.
type File struct {
	Path        string
	Roles       []string
	Size        int64
	SHA256      string // hexadecimal
	RowsRead    int
	RowsUnread  int
	First, Last time.Time // zero where the file has no times; in the report's zone
}

// Event is a susceptibility event with what the evaluation knows of it.
type Event struct {
	jobsheet.Event
	Limit      quantity.FieldStrength // of the requirement at its frequency; NaN without one, and outside the required range
	Level      quantity.FieldStrength // sustained field at the step; NaN where not visited
	BelowLimit bool                   // the threshold is below the limit: not withstood
}

// Example is one worked chain from a raw reading to a verdict.
type Example struct {
	Visit  *Visit
	Run    string
	File   string
	Row    int
	Raw    quantity.FieldStrength
	Ledger []evaluate.Factor
	Final  quantity.FieldStrength
}

// Change is one thing that a revision changes against the report that it
// replaces. Before is empty for what is new, After for what is gone.
type Change struct {
	What, Before, After string
	Digest              bool // of an input file, which says that it changed and not what
}

// Omission is a required item left out for a stated reason.
type Omission struct{ Item, Reason string }

// Program says which program made the report.
type Program struct {
	Name, Version, Revision string
	RuleSet                 string // version of the evaluation rules
	RuleDigest              string // SHA-256 of their text, hexadecimal
	Zones                   string // edition of the time zone database
}
