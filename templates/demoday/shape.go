package demoday

import (
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// Shape says what a made-up day is like. Random fills it in by chance; a test
// that wants one thing changed changes it and asks for the day again.
type Shape struct {
	Seed uint64
	Date time.Time // of the test, midnight UTC
	Zone *time.Location

	// What is required.
	Limits        []Limit // ascending; a gap between two of them parts two ranges
	Step          quantity.Ratio
	Dwell         time.Duration
	Settle        time.Duration // 0: the sheet sets none
	Response      time.Duration // of the article; 0: none is given
	MaxGap        time.Duration // 0: the sheet sets none
	Modulation    quantity.Modulation
	ToleranceLow  quantity.Decibel // NaN: none is given
	ToleranceHigh quantity.Decibel // NaN: there is none
	Rule          string           // "", "simple" or "guarded"
	Guard         quantity.Ratio   // NaN where the rule has none
	Uncertainty   bool             // a budget is stated; a guarded rule needs one
	Sensors       string           // "", "every" or "mean"
	Positions     int

	// What the bench did.
	Resolution  quantity.Frequency // of the generator
	Parts       int                // runs into which a range is divided
	Repeats     int                // steps of each run that were visited twice
	Probes      int                // field probes of each run
	Detector    string             // "" where none is needed
	Unmodulated bool               // readings were taken unmodulated
	Measured    quantity.Ratio     // measured modulation factor; NaN where there is none
	Corrected   bool               // a correction table for the probes
	Coupler     bool               // correction tables for the power
	Sampling    Sampling
	PowerEvery  time.Duration // between two rows of a power file with times; 0: a second, or less for a short dwell
	PowerTimes  bool          // the power file has times
	PowerSteps  bool          // the power file has frequencies; with neither there is none
	PowerIdle   bool          // the power file with times has rows while the power is off
	Motion      bool
	Tuning      bool
	Margin      quantity.Decibel // least level aimed at, above what the rule asks

	// How it was written down.
	SharedDwell bool // one dwell record for all runs
	ByRun       bool // a shared dwell record tells runs by their id
	SharedPower bool // one workbook for all runs
	SharedLog   bool // one log of each probe for the whole day
	Axes, Total bool
	Status      bool
	Battery     bool
	LogSteps    bool // the log writes the frequency
	ModulationColumn,
	LevelColumn,
	ObservationColumn bool
	Durations bool // the dwell record writes durations
	StateStep bool // the job sheet states the resolution of the frequency
	ProbeClock,
	PowerClock,
	DwellClock time.Duration // clock offsets
	Files Layouts
}

// Sampling is how a probe takes its readings.
type Sampling struct {
	Interval, Jitter time.Duration
	Lost             float64 // part of the readings that is lost, never two in a row
}

// Layouts are the layouts of the kinds of files.
type Layouts struct{ Probe, Power, Dwell, Correction, Motion, Register Layout }

// polarizations are those of a limit.
func (l Limit) polarizations() []quantity.Polarization {
	if l.Polarizations == nil {
		return quantity.Polarizations()
	}
	return l.Polarizations
}

// applies reports whether the limit counts at a polarization.
func (l Limit) applies(polarization quantity.Polarization) bool {
	for _, p := range l.polarizations() {
		if p == polarization {
			return true
		}
	}
	return false
}

// At returns the limit at a frequency: straight in decibels over the logarithm
// of frequency, the higher one on the border of two segments; not defined where
// there is none.
func (s *Shape) At(f quantity.Frequency, polarization quantity.Polarization) quantity.FieldStrength {
	highest := quantity.Undefined[quantity.FieldStrength]()
	for _, l := range s.Limits {
		if !l.applies(polarization) || !f.Within(l.From, l.To) {
			continue
		}
		line := Correction{Decibels: true, Points: []CorrectionPoint{
			{l.From, 0}, {l.To, float64(l.HighLevel.Over(l.LowLevel))}}}
		level := l.LowLevel.Plus(line.decibels(max(l.From, min(l.To, f)), 20))
		if !(level <= highest) {
			highest = level
		}
	}
	return highest
}

// Asked returns the least level that the decision rule accepts at a frequency.
func (s *Shape) Asked(f quantity.Frequency, polarization quantity.Polarization) quantity.FieldStrength {
	level := s.At(f, polarization)
	if quantity.Defined(s.ToleranceLow) {
		level = level.Plus(s.ToleranceLow)
	}
	if s.Rule == "guarded" {
		level = level.Plus(expanded * quantity.Decibel(s.Guard))
	}
	return level
}

// Range is a contiguous required range.
type Range struct{ From, To quantity.Frequency }

// Ranges returns the required ranges of a polarization, ascending.
func (s *Shape) Ranges(polarization quantity.Polarization) []Range {
	var list []Range
	for _, l := range s.Limits {
		switch last := len(list) - 1; {
		case !l.applies(polarization):
		case last >= 0 && l.From.AtOrBelow(list[last].To):
			list[last].To = max(list[last].To, l.To)
		default:
			list = append(list, Range{l.From, l.To})
		}
	}
	return list
}

// Required is the longer of the requirement's dwell and the article's response.
func (s *Shape) Required() time.Duration { return max(s.Dwell, s.Response) }

// files names a file of a record, with the extension that its layout asks for.
func (l Layout) file(path string) File {
	extension := ".csv"
	if l.Workbook {
		extension = ".xlsx"
	}
	entry := table.Entry{File: path + extension, FrequencyResolution: quantity.Undefined[quantity.Frequency]()}
	if l.delimiter() != ',' && !l.Workbook {
		entry.Decimal = '.' // three decimals could be read as thousands
		if l.DecimalComma {
			entry.Decimal = ','
		}
	}
	return File{Entry: entry, Layout: l}
}
