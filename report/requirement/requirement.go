// Package requirement says what a test day has to show: limit, step, dwell,
// modulation and polarizations over frequency. Built-in requirements come from
// templates/requirements, a laboratory's own from a file of the day.
package requirement

import (
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report/uncertainty"
)

// Limit is one segment of the limit line. From level LowLevel at From to
// HighLevel at To it runs straight in dB over the logarithm of frequency.
type Limit struct {
	From, To            quantity.Frequency
	LowLevel, HighLevel quantity.FieldStrength
	Polarizations       []string // "horizontal", "vertical"
	Optional            string   // name under which a job sheet includes it; "" always applies
}

// StepRule is the largest step between neighbours, as a part of the frequency.
type StepRule struct {
	From, To quantity.Frequency
	Max      quantity.Ratio
}

// PositionRule says how many antenna positions a wide article needs.
type PositionRule struct {
	UpTo    quantity.Frequency // the rule counts for ranges that begin below this
	Spacing quantity.Length    // one position for each Spacing of width, or part of it
}

// Requirement is what a day has to show, the job sheet's overrides applied.
type Requirement struct {
	Name          string // of a built-in one, else ""
	Title         string
	Source        string // document, edition and clause
	Limits        []Limit
	Steps         []StepRule
	Dwell         time.Duration // of the requirement; see Required
	Response      time.Duration // of the article
	Settle        time.Duration
	MaxGap        time.Duration // 0: three times the median distance of samples
	Modulation    quantity.Modulation
	Sensors       string           // "every" or "mean"
	ToleranceLow  quantity.Decibel // not above 0
	ToleranceHigh quantity.Decibel // NaN where there is none
	Rule          uncertainty.Rule
	Positions     int
	PositionRule  *PositionRule
	Notes         []string // what a reader of the report must know of it
	Overrides     []Override
}

// Override is one key that the job sheet set otherwise than the requirement.
type Override struct {
	Key, Was, Is, Reason string
}

// Required is D, the required dwell: the larger of dwell and response time.
func (r *Requirement) Required() time.Duration { return max(r.Dwell, r.Response) }

// Range is one contiguous required frequency range of one polarization.
type Range struct {
	Polarization string
	From, To     quantity.Frequency
}
