// Package evaluate turns the records of a day into figures and states: samples
// into visits, visits into steps, steps into cells. It follows the evaluation
// rules (see `fieldheld rules`) and nothing else; what a figure means for the
// day is found by package check.
package evaluate

import (
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/uncertainty"
)

// State is how much of the proof is there. The zero value is NotShown, so that
// what nobody evaluated is never a pass.
type State int

// The states of a visit, step, cell or day.
const (
	NotShown          State = iota // evidence is missing
	NotMet                         // the evidence shows a failure
	Met                            // shown
	MetWithDeviations              // shown, but for findings that were accepted
	NotRequired                    // no requirement there; visits only
)

// String writes the state as results and report write it.
func (s State) String() string {
	switch s {
	case NotMet:
		return "not met"
	case Met:
		return "met"
	case MetWithDeviations:
		return "met with deviations"
	case NotRequired:
		return "not required"
	default:
		return "not shown"
	}
}

// RowRange is the first and last row of a stretch of a file; zero where there is none.
type RowRange struct{ First, Last int }

// Factor is one entry of the ledger from a reading to a corrected field.
type Factor struct {
	Name   string         // what is corrected
	Source string         // the table, measurement or formula it comes from
	Value  quantity.Ratio // the reading is multiplied by it
}

// ProbeFigures are the figures of one visit from one probe. Figures that are
// not defined are NaN.
type ProbeFigures struct {
	Probe           int // index in the run's list
	Asset           string
	File            string         // path of the log
	Window          RowRange       // first and last row of the visit's window in the log
	Samples         int            // usable ones
	Invalid         int            // in the window, marked, out of range or frozen
	InvalidWhy      []string       // the reasons met, each once
	ValidStretch    float64        // longest stretch of valid samples, seconds
	Continuous      bool           // a stretch of valid samples lasts as long as the required dwell
	Ledger          []Factor       // factors from reading to corrected field
	Factor          quantity.Ratio // their product; NaN where the correction table does not reach
	Sustained       quantity.FieldStrength
	Minimum         quantity.FieldStrength
	Median          quantity.FieldStrength
	Maximum         quantity.FieldStrength
	Held            float64                // seconds; NaN where not defined
	LowestRow       int                    // row of the sample that decides Sustained; 0 where not defined
	LowestRaw       quantity.FieldStrength // its uncorrected reading
	FrequencyMedian quantity.Frequency     // of the log's frequency column; NaN where there is none
}

// PowerFigures are the power figures of one visit. Figures that are not
// defined are NaN.
type PowerFigures struct {
	Rows            RowRange // in the power file
	Count           int      // rows behind the medians
	Forward         quantity.Power
	Reflected       quantity.Power
	VSWR            quantity.Ratio
	ReturnLoss      quantity.Decibel
	Net             quantity.Power
	PerRootWatt     float64            // field per root watt, V/m/√W
	ForLimit        quantity.Power     // forward power that the limit needs
	OutOfTable      []string           // correction tables that do not reach the frequency
	FrequencyMedian quantity.Frequency // of the rows; NaN where the file has none
}

// Visit is one row of a dwell record with its figures. Figures that are not
// defined are NaN.
type Visit struct {
	Run         int // index in the day's runs
	Index       int // index in the run's visits
	Record      record.Visit
	DwellFile   string
	Modulation  quantity.Modulation
	Harmonics   []jobsheet.Harmonic // stated for its frequency
	State       State
	Limit       quantity.FieldStrength // NaN where no limit applies
	Lowest      quantity.FieldStrength // L, the lowest acceptable level
	Highest     quantity.FieldStrength // upper tolerance; NaN where there is none
	Required    time.Duration          // D
	Probes      []ProbeFigures
	Deciding    int // index in Probes of the probe whose sustained field is lowest
	Samples     int // usable ones over all probes
	Sustained   quantity.FieldStrength
	Minimum     quantity.FieldStrength
	Median      quantity.FieldStrength
	Maximum     quantity.FieldStrength
	Held        float64          // seconds
	Margin      quantity.Decibel // of Sustained over Lowest
	Conformance float64          // probability; NaN where the uncertainty is not known
	Power       PowerFigures
	Repeats     bool // another visit of the same step came before
}

// Frequency is the frequency that the dwell record writes.
func (v *Visit) Frequency() quantity.Frequency { return v.Record.Frequency }

// Step is all visits of a cell at one frequency.
type Step struct {
	Frequency quantity.Frequency // the first of the group
	State     State
	Limit     quantity.FieldStrength
	Lowest    quantity.FieldStrength
	Visits    []*Visit
	Best      *Visit // the visit that gives the step its state
}

// Hole is a part of a required range without evidence.
type Hole struct {
	From, To      quantity.Frequency
	Check         string // step-size, coverage, polarization or position
	Accepted      bool
	Before, After *Visit // neighbours; nil at an end of the range
}

// Cell is one contiguous required range × one polarization × one position.
type Cell struct {
	Polarization string
	Position     int
	From, To     quantity.Frequency
	State        State
	Resolution   quantity.Frequency // q
	Runs         []int              // indices of the runs that serve it
	Steps        []Step
	StepsMet     int
	Holes        []Hole
}

// Run is one run with its evaluated visits.
type Run struct {
	ID           string
	Polarization string
	Position     int
	Visits       []*Visit
}

// Day is the evaluated day, before findings act on it.
type Day struct {
	Runs   []Run
	Cells  []Cell
	Budget *uncertainty.Budget // nil where no uncertainty is stated
}
