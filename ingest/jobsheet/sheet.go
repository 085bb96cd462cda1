// Package jobsheet reads job.toml, the sheet that says what a test day was
// meant to show, what was used and which files prove it.
//
// All problems of a sheet are reported at once, each with its line and key.
package jobsheet

import (
	"time"

	"fieldheld/ingest/document"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// Sheet is a job sheet. Undefined quantities are NaN, absent durations and
// counts nil or zero, absent dates the zero time. Dates are midnight UTC.
type Sheet struct {
	Place       place.Place
	Report      Report
	Laboratory  Party
	Customer    Party
	Article     Article
	Requirement Requirement
	Uncertainty *Uncertainty
	Site        Site
	Environment []Environment
	Limits      EnvironmentLimits
	Register    *table.Entry
	Equipment   []Equipment
	Tunings     []Tuning
	Runs        []Run
	Events      []Event
	Incidents   []Incident
	Deviations  []Deviation
	Photos      []Photo
	Signatures  []Signature
	Plan        Plan
	Forecasts   []Forecast
	Days        []Day // where the test is spread over several days

	document *document.Document // to compare the sheets of the days with this one
}

// Report is [report].
type Report struct {
	Number       string
	Revision     int
	Issued       time.Time
	Reason       string       // why a revision was made
	Replaces     string       // the report that this revision replaces
	ChangedBy    string       // who made the change
	Procedure    string       // the test procedure with its revision
	Marking      string       // of the document, at the head and foot of every page: its class or its owner
	Witness      string       // who watched the test for the customer
	External     string       // which results come from external providers
	Conclusion   string       // of the laboratory; an opinion, and marked as one
	ReplacesFile *table.Entry // the PDF of the report that this revision replaces; nil where not given
	Zone         *time.Location
	Page         string            // "A4" or "Letter"
	Omitted      map[string]string // item of report.md → reason for leaving it out
}

// Party is [laboratory] or [customer].
type Party struct {
	Name, Address, Accreditation, Contact, Order string
}

// Article is [article], the equipment under test.
type Article struct {
	Name, PartNumber, Serial string
	Versions                 string // hardware, software, firmware
	Condition                string // on receipt
	Received                 time.Time
	Modes                    []string
	ResponseTime             time.Duration // 0 where not given
	Width                    quantity.Length
	Criteria, Description    string
	Monitoring               string   // how the article was watched at each step, and by whom
	Sampling                 string   // how the item was sampled; "" where that is not stated
	NothingSeen              []string // the laboratory's own words for an observation of nothing
}

// Requirement is [requirement]: which one, which part of it, and what the day overrides.
type Requirement struct {
	Place         place.Place
	Profile       string   // a built-in requirement, or
	File          string   // one of the lab's own
	Include       []string // optional ranges of the requirement that this day shows
	From, To      quantity.Frequency
	Dwell         *time.Duration
	Settle        *time.Duration
	MaxGap        *time.Duration
	Polarizations []quantity.Polarization
	Positions     int
	Sensors       string
	ToleranceLow  quantity.Decibel // NaN where not overridden
	ToleranceHigh quantity.Decibel
	DecisionRule  string            // "" where not overridden
	Guard         quantity.Ratio    // NaN where not given
	MismatchLimit quantity.Ratio    // greatest VSWR; NaN where not given
	Steps         []StepRule        // in the place of those of the requirement in their ranges
	MinSamples    quantity.Samples  // least samples of every probe in a stretch; 0 where not overridden
	Reasons       map[string]string // why a key is overridden, by key
	AgreedBy      string            // who agreed to what asks for less
}

// Uncertainty is [uncertainty].
type Uncertainty struct {
	CoverageFactor quantity.Ratio // NaN where not given
	Contributions  []Contribution
}

// Contribution is one [[uncertainty.contribution]].
type Contribution struct {
	Name             string
	Value            quantity.Decibel
	Distribution     string         // normal, rectangular, triangular, u-shaped
	Divisor          quantity.Ratio // the default of the distribution where not given
	Sensitivity      quantity.Ratio // 1 where not given
	DegreesOfFreedom float64        // +Inf where not given
}

// Site is [site].
type Site struct {
	Name, Chamber, GroundPlane, Notes string
	Distance, ProbeHeight             quantity.Length
	Bonding                           string // how the bonding of the article was verified, with the result
	Cables                            string // layout of the cables and of the networks that stabilise the supply
	Levelling                         string // software that held the level: version, and how it was verified
	ModulationRecord                  string // where the verification of the modulation is kept, with its on to off ratio
}

// Environment is one [[environment]] reading.
type Environment struct {
	Place       place.Place
	At          time.Time
	Temperature quantity.Temperature
	Humidity    quantity.Ratio
	Pressure    quantity.Pressure
}

// Range is a lower and an upper limit; NaN where not given.
type Range[T quantity.Number] struct{ Low, High T }

// EnvironmentLimits is [limits_of_environment].
type EnvironmentLimits struct {
	Temperature Range[quantity.Temperature]
	Humidity    Range[quantity.Ratio]
	Pressure    Range[quantity.Pressure]
}

// Equipment is one [[equipment]]. What is empty here is taken from the register.
type Equipment struct {
	Place                             place.Place
	Asset, Role                       string
	Description, Maker, Model, Serial string
	Calibrated, Due                   time.Time
	Certificate, Traceability         string
	From, To                          quantity.Frequency
	RatedPower                        quantity.Power // forward power that it gives or stands; NaN where not given
	Folder                            string         // of the day whose sheet lists it; "" for the whole test
	CalibrationNotRequired            bool
	CalibrationReason                 string
}

// Tuning is one [[tuning]], a stored setting of a tunable antenna.
type Tuning struct {
	Place         place.Place
	Name, Chamber string
	Polarization  quantity.Polarization
	Made          time.Time
	Changes       []TuningChange
}

// TuningChange is a setting changed by hand.
type TuningChange struct {
	Frequency quantity.Frequency
	By, Note  string
}

// Run is one [[run]]: one sweep with one polarization and one antenna position.
type Run struct {
	Place               place.Place
	ID                  string
	Folder              string                // of the day whose sheet has the run, with which the ID begins; "" for the only day
	Polarization        quantity.Polarization // "horizontal" or "vertical"
	Position            quantity.Position     // 1 where not given
	Modulation          *quantity.Modulation
	Purpose             quantity.Purpose // of rows that do not say theirs; "" where not given
	Antenna, Amplifier  string
	Tuning              string
	ForwardMax          quantity.Power // NaN where not given
	Dwell               table.Entry
	Power               *table.Entry
	ForwardCorrection   *table.Entry
	ReflectedCorrection *table.Entry
	Motion              *table.Entry
	Probes              []Probe
	Harmonics           []Harmonic
}

// Harmonic is one [[run.harmonic]]: how strong one harmonic of the field was at
// one test frequency. One of Level and Field is given, the other is NaN.
type Harmonic struct {
	Place     place.Place
	Frequency quantity.Frequency     // of the fundamental
	Order     int                    // 2 for the second harmonic
	Level     quantity.Decibel       // over the fundamental, in dBc; below zero as a rule
	Field     quantity.FieldStrength // of the harmonic
}

// Probe is one [[run.probe]].
type Probe struct {
	Place            place.Place
	Log              table.Entry
	Asset            string
	Correction       *table.Entry // nil: readings are used as they are
	Detector         string       // rms, peak, mean or ""
	Unmodulated      bool         // readings were taken unmodulated
	ModulationFactor quantity.Ratio
	Range            Range[quantity.FieldStrength]
	Height           quantity.Length
	Standing         string    // the name of its place; "" where it is not stated
	From, To         time.Time // in true time, From included and To not; zero where open
}

// Event is one [[event]]: what the article did.
type Event struct {
	Place     place.Place
	Run       string
	Frequency quantity.Frequency
	At        time.Time
	Observed  string
	Threshold quantity.FieldStrength
	Criterion string
	Search    *Search // how the threshold was found; nil where the sheet does not say it
	Dismissed string  // why what was observed is no event; "" where it is one
}

// Incident is one [[incident]]: what happened beside the steps of the test.
type Incident struct {
	Place   place.Place
	At      time.Time
	Run     string // "" where it concerns none alone
	What    string // happened
	Done    string // about it
	Article string // what was changed on the article; "" where nothing was
}

// Search is how the threshold of an event was found. What was not recorded is NaN.
type Search struct {
	Recovered quantity.FieldStrength // level at which the article recovered
	BackedOff quantity.FieldStrength // level from which it was raised again
	Returned  quantity.FieldStrength // level at which the effect returned
	From, To  quantity.Frequency     // range in which the effect occurs
	Worst     quantity.Frequency     // where the threshold is lowest
}

// Deviation is one [[deviation]]. From and To are NaN where open.
type Deviation struct {
	Place            place.Place
	Covers           []string
	Run              string
	Folder           string // of the day whose sheet has the entry; it covers nothing of another day
	From, To         quantity.Frequency
	LevelMin         quantity.FieldStrength // nothing below it is accepted; NaN where not given
	Reason, AgreedBy string
}

// Photo is one [[photo]].
type Photo struct {
	Place         place.Place
	File, Caption string
}

// Signature is one [[signature]].
type Signature struct {
	Role     string // tested by | reviewed by | authorised by
	Name     string
	Function string // in the laboratory
	Date     time.Time
}

// Plan is [plan]: what is known of a test before it begins.
type Plan struct {
	Date      time.Time      // first day of the test; zero where not given
	Levelling *time.Duration // allowance for bringing the field to its level at each step; nil where not given
}

// Forecast is [forecast], or one of several [[forecast]]: a record of the field
// at a low level, from which the power for the limit is foretold.
type Forecast struct {
	Place        place.Place
	Record       table.Entry
	Polarization quantity.Polarization // "" for every polarization
	Position     quantity.Position     // 0 for every antenna position
	ForwardMax   quantity.Power        // rated power of the weakest part in the path; NaN where not given
}

// Day is one [[day]]: a folder beside the sheet that holds one day of a test.
type Day struct {
	Place       place.Place
	Folder      string       // relative to the folder of the sheet, forward slashes
	Register    *table.Entry // that the day's own sheet names; nil for none
	Requirement *table.Entry // requirement file that the day's own sheet names; nil for none
}
