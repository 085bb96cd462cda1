// Package evaluate turns the records of a day into figures: samples into visits,
// visits into steps, steps into cells. It follows the evaluation rules (see
// `fieldheld rules`) and nothing else; what a figure means for the day is found by
// package check, which changes nothing of the figures.
package evaluate

import (
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

// RowRange is the first and last row of a stretch of a file; zero where there is none.
type RowRange struct{ First, Last int }

// Factor is one entry of the ledger from a reading to a corrected field.
type Factor struct {
	Name   string         // what is corrected
	Source string         // the table, measurement or formula it comes from
	Value  quantity.Ratio // the reading is multiplied by it

	Modulation bool // whether this is M, for the modulation
}

// SourceFigures are the figures of one visit from one level source. Figures that are
// not defined are NaN.
//
// Where probes of one place were changed within the visit, the counts and figures
// are those of all their readings, and probe, log, rows and factors those of the
// part that gives the level.
type SourceFigures struct {
	Probe          int // index in the job sheet's probes of the run; -1 where none was in use during the visit
	Asset          string
	File           string             // path of the log
	Window         RowRange           // first and last row of the visit's window in the log
	Samples        quantity.Samples   // usable ones
	Invalid        quantity.Samples   // in the window, for any of the three reasons that follow
	Faulty         quantity.Samples   // marked, unreadable, out of range or frozen
	Faults         []ProbeFault       // the faults met, each once
	Disagreeing    quantity.Samples   // the log gives another frequency than the visit's
	OtherFrequency quantity.Frequency // of the first of those; NaN where there is none
	Shared         quantity.Samples   // in time that another visit claims too
	ValidStretch   quantity.Seconds   // longest stretch of valid samples of this probe alone
	Ledger         []Factor           // factors from reading to corrected field
	Factor         quantity.Ratio     // their product; NaN where the correction table does not reach
	Minimum        quantity.FieldStrength
	Median         quantity.FieldStrength
	Maximum        quantity.FieldStrength
	NoField        bool                   // harmonics as strong as the reading leave no field
	Levelled       bool                   // the level was set unmodulated and then modulated within the visit
	SecondPart     int                    // where the modulated part begins: index of the window's samples
	LowestRow      int                    // of the deciding probe: row of the sample that decides the level; 0 where not defined
	LowestRaw      quantity.FieldStrength // its uncorrected reading

	Parts []SourceFigures // of each probe by itself, where it was changed within the visit; else nil
}

// Each returns the figures of each probe that the source had during the visit: as a
// rule of one.
func (p *SourceFigures) Each() []*SourceFigures {
	switch {
	case p.Probe < 0:
		return nil
	case len(p.Parts) == 0:
		return []*SourceFigures{p}
	}
	each := make([]*SourceFigures, len(p.Parts))
	for i := range p.Parts {
		each[i] = &p.Parts[i]
	}
	return each
}

// modulated is M, the factor for the modulation.
func (p *SourceFigures) modulated() quantity.Ratio {
	for i := range p.Ledger {
		if p.Ledger[i].Modulation {
			return p.Ledger[i].Value
		}
	}
	return quantity.Undefined[quantity.Ratio]()
}

// Dwell says whether a visit has a stretch of samples for the required dwell. The
// zero value is that nothing can be said.
type Dwell int

// What time and number of samples show of the required dwell.
const (
	DwellUnknown  Dwell = iota // a probe has no sample at all
	DwellShown                 // a valid stretch is long enough and has samples enough
	DwellTooShort              // no stretch is long enough, even with the samples that cannot be trusted
	DwellTooFew                // a stretch is long enough, and has too few samples
	DwellTaken                 // samples that cannot be trusted alone take the stretch away
)

// PowerFigures are the power figures of one visit. Figures that are not
// defined are NaN.
type PowerFigures struct {
	Rows           RowRange // in the power file
	Count          int      // rows behind the medians
	Forward        quantity.Power
	Reflected      quantity.Power
	VSWR           quantity.Ratio
	ReturnLoss     quantity.Decibel
	Net            quantity.Power
	PerRootWatt    float64            // field per root watt, V/m/√W
	ForLimit       quantity.Power     // forward power that the limit needs
	OutOfTable     []string           // correction tables that do not reach the frequency
	Disagreeing    int                // rows of another frequency, which count in no figure
	OtherFrequency quantity.Frequency // of the first of those; NaN where there is none
	OtherRows      RowRange           // where they stand
}

// Visit is one row of a dwell record with its figures. Figures that are not
// defined are NaN.
type Visit struct {
	Run          int // index in the day's runs
	Index        int // index in the run's visits; other rows count on behind them
	Record       record.Visit
	DwellFile    string
	Modulation   quantity.Modulation
	Harmonics    []jobsheet.Harmonic    // stated for its frequency
	Cell         int                    // index plus one of the cell that it belongs to; 0 where nothing is required of it
	Limit        quantity.FieldStrength // NaN where no limit applies
	Lowest       quantity.FieldStrength // L, the lowest acceptable level
	Highest      quantity.FieldStrength // upper tolerance; NaN where there is none
	Required     time.Duration          // D
	Sources      []SourceFigures
	Deciding     int                // index in Sources of the one whose reading gives the level
	Samples      quantity.Samples   // usable ones over all probes
	Resolution   quantity.Frequency // q of its cell, else of its dwell record
	SharedTime   []window           // times that another visit claims too
	Dwell        Dwell
	ValidStretch quantity.Seconds // longest stretch of the record of all probes
	Continuous   bool             // that stretch is as long as the required dwell
	Sustained    quantity.FieldStrength
	Available    quantity.FieldStrength // the level of the longest stretch; NaN where Sustained is defined
	Known        quantity.FieldStrength // Maximum, or that of the probes that have one
	Minimum      quantity.FieldStrength
	Median       quantity.FieldStrength
	Maximum      quantity.FieldStrength
	Held         quantity.Seconds
	Margin       quantity.Decibel // of Sustained over Lowest
	Conformance  float64          // probability; NaN where the uncertainty is not known
	Power        PowerFigures
	Repeats      bool // another visit of the same step came before

	ofPeak bool               // the limit speaks of the modulated peak
	half   quantity.Frequency // half of the largest step allowed at its frequency
}

// IsRequired reports whether the visit belongs to a cell.
func (v *Visit) IsRequired() bool { return v.Cell > 0 }

// IsStep reports whether the row of the dwell record is a step of the test.
func (v *Visit) IsStep() bool { return v.Record.Purpose.IsStep() }

// Frequency is the frequency that the dwell record writes.
func (v *Visit) Frequency() quantity.Frequency { return v.Record.Frequency }

// Step is all visits of a cell at one frequency.
type Step struct {
	Frequency quantity.Frequency // the first of the group
	Limit     quantity.FieldStrength
	Lowest    quantity.FieldStrength
	Visits    []*Visit
}

// Level is the level on which a visit is judged: the sustained field, or where
// there is none what was there for as long as there is anything to see. NaN where
// neither is defined.
func (v *Visit) Level() quantity.FieldStrength {
	if quantity.Defined(v.Sustained) {
		return v.Sustained
	}
	return v.Available
}

// Probes returns the figures of every probe that was in use during the visit.
func (v *Visit) Probes() []*SourceFigures {
	var probes []*SourceFigures
	for i := range v.Sources {
		probes = append(probes, v.Sources[i].Each()...)
	}
	return probes
}

// SharedSamples counts the samples of all probes in time that another visit
// claims too.
func (v *Visit) SharedSamples() quantity.Samples {
	n := quantity.Samples(0)
	for i := range v.Sources {
		n += v.Sources[i].Shared
	}
	return n
}

// Hole is a part of a required range without evidence.
type Hole struct {
	From, To      quantity.Frequency // the same for a listed frequency
	Check         string             // step-size, coverage, polarization or position
	Before, After *Step              // neighbours; nil at an end of the range
}

// IsListed reports whether the hole is a listed frequency that was not visited.
func (h *Hole) IsListed() bool { return h.From == h.To }

// Cell is one contiguous required range × one polarization × one position.
type Cell struct {
	Polarization quantity.Polarization
	Position     quantity.Position
	From, To     quantity.Frequency
	Swept        []requirement.Part   // of the range, where neighbours have to keep a step; else only Listed is asked for
	Listed       []quantity.Frequency // that have to be visited, ascending
	Unknown      bool                 // the number of antenna positions is not known for a part of the range
	Resolution   quantity.Frequency   // q
	Coarse       *Step                // the first step at which q is larger than the step allowed; nil where there is none
	Runs         []int                // indices of the runs that serve it
	Steps        []Step
	Holes        []Hole
}

// Run is one run with its evaluated visits.
type Run struct {
	ID           string
	Polarization quantity.Polarization
	Position     quantity.Position
	Visits       []*Visit
	OtherRows    []*Visit // of its dwell record that are no test steps: with figures, and in no cell

	IdleHarmonics []jobsheet.Harmonic // stated, with a fundamental that meets no visit
	Uses          []Use               // when its probes were in use, where the sheet bounds it; in the order of the sheet
}

// Use is when a probe of a run was in use, and what became of its readings.
type Use struct {
	Probe       int              // index in the job sheet's probes of the run
	First, Last quantity.Instant // of the time of visits that falls into it; both 0 where none does
	Readings    quantity.Samples // within visits, and used
	Left        quantity.Samples // within visits, and left out because the probe was not in use
	LeftRows    RowRange
	Low, High   quantity.FieldStrength // least and greatest of those, uncorrected; NaN where there are none
}

// InUse reports whether any time of a visit falls into the use.
func (u *Use) InUse() bool { return u.Last > u.First }

// Day is the evaluated day.
type Day struct {
	Runs   []Run
	Cells  []Cell
	Budget *uncertainty.Budget // nil where no uncertainty is stated
}
