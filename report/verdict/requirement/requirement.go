// Package requirement says what a test day has to show: limit, step, dwell,
// modulation and polarizations over frequency. Built-in requirements come from
// templates/requirements, a laboratory's own from a file of the day.
//
// Parse and Builtin give a requirement as its document states it; Apply takes
// the part of it that a job sheet names and applies the sheet's overrides.
package requirement

import (
	"slices"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/uncertainty"
)

// The ways in which several probes of a run combine.
const (
	EverySensor   = "every" // each probe has to show the level
	MeanOfSensors = "mean"  // their arithmetic mean has to
)

// Limit is one segment of the limit line. From level LowLevel at From to
// HighLevel at To it runs straight in dB over the logarithm of frequency.
// Segments of one polarization may overlap; the higher level counts there.
type Limit struct {
	From, To            quantity.Frequency
	LowLevel, HighLevel quantity.FieldStrength
	Polarizations       []quantity.Polarization // "horizontal", "vertical"
	Optional            string                  // name under which a job sheet includes it; "" always applies
	Frequencies         []quantity.Frequency    // ascending, where it applies to these alone, each of which has to be visited
}

// StepRule says which frequencies of a range have to be visited.
type StepRule = jobsheet.StepRule

// PositionRule says how many antenna positions a wide article needs.
type PositionRule struct {
	UpTo    quantity.Frequency // above it the width does not rule the number
	Spacing quantity.Length    // one position for each Spacing of width, or part of it
}

// Requirement is what a day has to show, the job sheet's overrides applied.
type Requirement struct {
	Name          string // of a built-in one, else ""
	File          string // it was read from; of a built-in one "NAME.toml"
	Title         string
	Source        string // document, edition and clause
	Edition       string // of the source, where it is stated by itself
	Clause        string // likewise
	Limits        []Limit
	Steps         []StepRule
	Dwell         time.Duration // of the requirement; see Required
	Response      time.Duration // of the article
	Settle        time.Duration
	MaxGap        time.Duration // 0: three times the median distance of samples
	Modulation    quantity.Modulation
	Sensors       string           // "every" or "mean"
	OfPeak        bool             // the limit speaks of the modulated peak (modulated_level = "peak"), not of the carrier
	MinSamples    quantity.Samples // least samples of every probe in a stretch that shows a dwell
	ToleranceLow  quantity.Decibel // not above 0
	ToleranceHigh quantity.Decibel // NaN where there is none
	Harmonics     quantity.Decibel // how far harmonics of the field have to lie below the fundamental
	Rule          uncertainty.Rule
	Positions     int           // antenna positions; 0 where PositionRule asks for a width that is not stated; see CellsOf
	PositionRule  *PositionRule // nil where Positions is stated for the whole range
	Included      []string      // optional ranges that the day includes
	Notes         []string      // what a reader of the report must know of it
	Overrides     []Override

	// whole is the limit line before Apply cut it to the part that the day
	// shows: at the cut, the higher of two neighbours still counts. Nil where
	// nothing was cut.
	whole []Limit
}

// Required is D, the required dwell: the larger of dwell and response time.
func (r *Requirement) Required() time.Duration { return max(r.Dwell, r.Response) }

// Range is one contiguous required frequency range of one polarization.
type Range struct {
	Polarization quantity.Polarization
	From, To     quantity.Frequency
}

// Applies reports whether the segment is required at the polarization. An
// optional segment is not, until a job sheet includes it.
func (l Limit) Applies(polarization quantity.Polarization) bool {
	return l.Optional == "" && slices.Contains(l.Polarizations, polarization)
}

// lists reports whether the limit applies to listed frequencies alone.
func (l Limit) lists() bool { return len(l.Frequencies) > 0 }

// near returns the listed frequency that is nearest to f; undefined (NaN) where none
// lies within away of it.
func (l Limit) near(f, away quantity.Frequency) quantity.Frequency {
	nearest := quantity.Undefined[quantity.Frequency]()
	for _, listed := range l.Frequencies {
		if between := max(f-listed, listed-f); between <= away+quantity.Slack*f && !(between > max(f-nearest, nearest-f)) {
			nearest = listed
		}
	}
	return nearest
}

// listsAlone reports whether every limit applies to listed frequencies, so that no step
// rule is needed.
func (r *Requirement) listsAlone() bool {
	return len(r.Limits) > 0 && !slices.ContainsFunc(r.Limits, func(l Limit) bool { return !l.lists() })
}

// clone copies the requirement so deep that the copy can be changed freely.
func (r *Requirement) clone() *Requirement {
	c := *r
	c.Limits = slices.Clone(r.Limits)
	for i := range c.Limits {
		c.Limits[i].Polarizations = slices.Clone(c.Limits[i].Polarizations)
		c.Limits[i].Frequencies = slices.Clone(c.Limits[i].Frequencies)
	}
	c.Steps = slices.Clone(r.Steps)
	c.Notes = slices.Clone(r.Notes)
	c.Included = slices.Clone(r.Included)
	c.Overrides = slices.Clone(r.Overrides)
	if r.PositionRule != nil {
		rule := *r.PositionRule
		c.PositionRule = &rule
	}
	return &c
}
