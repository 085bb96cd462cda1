package demoday

import (
	"time"

	"fieldheld/ingest/quantity"
)

// Requirement is a requirement of the laboratory's own.
type Requirement struct {
	Title, Source string
	Dwell         time.Duration
	Modulation    quantity.Modulation
	Sensors       string           // "" leaves the default
	ToleranceLow  quantity.Decibel // NaN leaves the default
	ToleranceHigh quantity.Decibel // NaN where there is none
	Limits        []Limit
	Steps         []Step
}

// Limit is one segment of the limit line, a slope where the levels differ.
type Limit struct {
	From, To            quantity.Frequency
	LowLevel, HighLevel quantity.FieldStrength
	Polarizations       []quantity.Polarization // nil for both
}

// Step is the largest step in a range, as a part of the frequency.
type Step struct {
	From, To quantity.Frequency
	Max      quantity.Ratio
}

// text writes the requirement's file.
func (r *Requirement) text() string {
	var s sheetText
	s.text("title", r.Title)
	s.text("source", r.Source)
	s.text("dwell", durationText(r.Dwell))
	s.text("modulation", r.Modulation.String())
	s.text("sensors", r.Sensors)
	if quantity.Defined(r.ToleranceLow) || quantity.Defined(r.ToleranceHigh) {
		s.table("tolerance")
		s.text("low", decibelText(r.ToleranceLow))
		s.text("high", decibelText(r.ToleranceHigh))
	}
	for _, l := range r.Limits {
		s.entry("limit")
		s.text("from", frequencyText(l.From))
		s.text("to", frequencyText(l.To))
		if l.LowLevel == l.HighLevel {
			s.text("level", fieldText(l.LowLevel))
		} else {
			s.texts("level", []string{fieldText(l.LowLevel), fieldText(l.HighLevel)})
		}
		s.polarizations(l.Polarizations)
	}
	for _, step := range r.Steps {
		s.entry("step")
		s.text("from", frequencyText(step.From))
		s.text("to", frequencyText(step.To))
		s.text("max", percentText(step.Max))
	}
	return s.String()
}
