// Package plan says, before a test is made, what it takes: the steps of every
// cell, the time, the antenna positions, the forward power that each step needs
// as far as a low-level record lets it be foretold, and what stands in the way.
//
// It is a pure model: renderings print it and compute nothing. What is not known
// stays unknown; a step without a forecast is never one that can be reached.
package plan

import (
	"fmt"
	"math"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

// DefaultLevelling is the allowance for bringing the field to its level at each
// step where the job sheet states none. With a dwell of 3 s it makes 4.5 s a step,
// within the 4.4 to 5.2 s that the scan times of MIL-STD-461G, table A-I, come to.
const DefaultLevelling = 1500 * time.Millisecond

// Input is what a plan is made from.
type Input struct {
	Sheet       *jobsheet.Sheet
	Requirement *requirement.Requirement
	Budget      *uncertainty.Budget    // the largest; nil where no uncertainty is stated
	Uncertainty *uncertainty.Statement // of which it is one
	Probes      []string               // assets of the probes that will be used
	Equipment   []ingest.Equipment     // completed from the register
	Forecasts   []ingest.Forecast
}

// Plan is what a test takes.
type Plan struct {
	Sheet           *jobsheet.Sheet
	Requirement     *requirement.Requirement
	Date            time.Time // first day of the test; zero where not stated
	Settle          time.Duration
	Levelling       time.Duration
	LevellingStated bool          // else it is DefaultLevelling
	StepTime        time.Duration // settle, levelling and required dwell
	Cells           []Cell        // in the order in which a report lists them
	Steps           int           // over all cells
	Time            time.Duration // likewise, without changes of the setup
	Forecast        bool          // whether a low-level record is named
	Equipment       []Equipment
	Concerns        []string // what has to be settled before the test, worst first
	Notes           []string // what the plan rests on; those of the requirement come on top
}

// Cell is one required range with one polarization and antenna position.
type Cell struct {
	Polarization quantity.Polarization
	From, To     quantity.Frequency
	Position     quantity.Position // from 1
	Positions    int               // how many the range needs
	Centre       quantity.Length   // of the beam, from one edge of the test setup boundary; NaN where the width is not stated
	Spacing      quantity.Length   // from position to position; NaN for one position or an unknown width
	Steps        []Step
	Time         time.Duration
	Count        Count
	Greatest     *Step    // the step that needs most power; nil without a forecast
	Least        *Step    // the step with the least headroom; nil where none is known
	Ratings      []Rating // of every part in the path, in the order of the sheet
}

// Count is how many steps of a cell can be reached, as far as is known.
type Count struct{ Reached, Short, NoRating, NoForecast int }

// Reach says whether a step's level can be reached. The zero value is that
// nothing is known.
type Reach int

// What is known of a step.
const (
	NoForecast Reach = iota // the power is not foretold
	NoRating                // the power is foretold; no rating to compare it with is stated
	Short                   // the power is above a rating
	Reached                 // the power is within every rating that is stated
)

// String writes the word that terminal and paper print.
func (r Reach) String() string {
	switch r {
	case NoRating:
		return "no rating"
	case Short:
		return "out of reach"
	case Reached:
		return "in reach"
	default:
		return "no forecast"
	}
}

// Step is one frequency of a cell. Figures that are not known are NaN.
type Step struct {
	Frequency quantity.Frequency
	Limit     quantity.FieldStrength
	Aim       quantity.FieldStrength // that the decision rule asks for, at least the limit
	Forward   quantity.Power         // of the unmodulated carrier, for Aim
	Peak      quantity.Power         // of the crest of the modulation, which the path has to stand
	Headroom  quantity.Decibel       // of the lowest rating over Peak
	Part      string                 // whose rating is the lowest; "" for none
	Reach     Reach
	Why       string // why there is no forecast; "" where there is one
}

// Rating is the power that one part of the path gives or stands, and what the
// forecast leaves of it.
type Rating struct {
	Part   string // "forward_max of run H1", "PA-02 (amplifier)"
	Power  quantity.Power
	Least  quantity.Decibel   // headroom, NaN where no step is forecast
	At     quantity.Frequency // of the least headroom
	Beyond int                // steps that need more
}

// Equipment is one asset and how its calibration will stand.
type Equipment struct {
	ingest.Equipment
	State string // on the date of the test, in words
	Fault string // why the test cannot be made with it as it is, a clause about its calibration; "" where it can
}

// Build makes the plan.
func Build(in Input) *Plan {
	p := &Plan{Sheet: in.Sheet, Requirement: in.Requirement, Date: in.Sheet.Plan.Date, Settle: in.Requirement.Settle,
		Levelling: DefaultLevelling, Forecast: len(in.Forecasts) > 0}
	if stated := in.Sheet.Plan.Levelling; stated != nil {
		p.Levelling, p.LevellingStated = *stated, true
	}
	p.StepTime = p.Settle + p.Levelling + in.Requirement.Required()
	b := &builder{Input: in, plan: p}
	b.cells()
	for i := range p.Cells {
		p.Steps += len(p.Cells[i].Steps)
		p.Time += p.Cells[i].Time
	}
	for i := range in.Equipment {
		p.Equipment = append(p.Equipment, b.equipment(&in.Equipment[i]))
	}
	b.concerns()
	b.notes()
	return p
}

// builder makes one plan.
type builder struct {
	Input
	plan *Plan
}

// LongTime writes a time of testing in hours and minutes, rounded up: "1 h 07 min".
func LongTime(d time.Duration) string {
	minutes := int(math.Ceil(d.Minutes() - 1e-9))
	if minutes < 60 {
		return fmt.Sprintf("%d min", minutes)
	}
	return fmt.Sprintf("%d h %02d min", minutes/60, minutes%60)
}
