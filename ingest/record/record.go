// Package record reads the records of a test day into columns: field-probe
// logs, power files, dwell records, motion records, correction tables and the
// equipment register. It knows what the columns mean, and nothing of limits.
//
// No row is skipped in silence: what cannot be read becomes a RowProblem with
// its row, and a file of which nothing can be read is an error.
package record

import (
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// File says what was read from one file or sheet, for the list of evidence.
type File struct {
	Path       string // relative to the day's folder, forward slashes
	Sheet      string // of a workbook, else ""
	RowsRead   int    // data rows taken
	RowsUnread int    // data rows that could not be read
	First      quantity.Instant
	Last       quantity.Instant
	HasTimes   bool // whether First and Last are set
	Problems   []RowProblem
	Writing    Writing

	flood *flood // of a file with more problems than anybody reads
}

// RowProblemKind says what is odd about a row.
type RowProblemKind int

// The kinds of odd rows.
const (
	Unreadable  RowProblemKind = iota // left out of every figure
	Duplicate                         // equal to the readable row before, kept
	UnknownMark                       // a status word that is not known: kept, the sample invalid
	NoValue                           // a readable time and no reading: kept with its time, the sample invalid
	Remark                            // of the whole file; Row is 0, or where it shows first
)

// RowProblem is one row that could not be taken as it stands.
type RowProblem struct {
	Row    int
	Kind   RowProblemKind
	Reason wording.Text // for people: what was found and what was expected
}

// Block is a maximal run of consecutive samples that repeat one value of one
// column (an axis or the total), not zero and written with at least four
// significant digits; at least ten samples long (evaluation.md 3, frozen).
type Block struct {
	First, Last int    // indices into the log's columns, both included
	Column      string // header text of the repeating column
}

// Fault is why a sample cannot be trusted: it keeps its time, and counts in no
// figure (evaluation.md 3).
type Fault uint8

// The faults that a row of a probe log shows by itself.
const (
	NoFault   Fault = iota
	Marked          // by a status column, or by a mark of overload in the cell of the reading
	NoReading       // the reading is missing, no number, or negative; Readings is NaN
)

// ProbeLog is a field-probe log: columns of equal length, sorted by time;
// samples of the same time stay in file order. Rows that go back by more than
// Gap are not in it (they are Unreadable problems).
type ProbeLog struct {
	File        File
	Times       []quantity.Instant       // clock offset included
	Readings    []quantity.FieldStrength // uncorrected; root of the sum of squares where there is no total
	Rows        []int32                  // row in the file
	Faults      []Fault                  // why a sample cannot be trusted, as far as its own row says so
	Frequencies []quantity.Frequency     // nil where the log has no such column; NaN where empty
	Resolution  quantity.Frequency       // finest decimal place written in the frequency column, in Hz; 0 where there is none
	Repeats     []Block                  // candidates for a frozen probe, sorted by First
	Detector    string                   // rms, peak or mean, where a heading says it; else ""
	Gap         float64                  // g in nanoseconds: longest distance that is continuous
}

// PowerFile is a record of forward and reflected power: columns of equal
// length, in file order, sorted by time where there are times.
type PowerFile struct {
	File        File
	Times       []quantity.Instant   // nil where the file has none
	Frequencies []quantity.Frequency // nil where the file has none
	Forward     []quantity.Power     // as the file writes it, without coupler corrections
	Reflected   []quantity.Power     // nil where the file has none; NaN where a cell is empty
	Resolution  quantity.Frequency   // finest decimal place written in the frequency column, in Hz; 0 where there is none
	Rows        []int32
}

// Visit is one row of a dwell record: one frequency, held from Start to End.
type Visit struct {
	Row          int
	Frequency    quantity.Frequency
	Start, End   quantity.Instant      // clock offset included
	Run          string                // "" where the record has no such column or an empty cell
	Polarization quantity.Polarization // "horizontal", "vertical" or ""
	Position     quantity.Position     // 0 where not written
	Modulation   *quantity.Modulation
	Purpose      quantity.Purpose // "" where the record does not say it
	LevelSet     string           // as written
	Observation  string           // as written
}

// DwellRecord is a list of visits in file order.
type DwellRecord struct {
	File            File
	Visits          []Visit
	HasRun          bool               // the record has a run column
	HasPolarization bool               // the record has a polarization column
	HasPosition     bool               // the record has a position column
	Resolution      quantity.Frequency // q: finest decimal place written in the frequency column, in Hz
	LevelUnit       string             // unit of the column that Visit.LevelSet comes from, "" where none is written
}

// Motion is one row of a motion record: antenna elements moved from Start to End.
type Motion struct {
	Row        int
	Start, End quantity.Instant
}

// MotionRecord lists when antenna elements moved.
type MotionRecord struct {
	File    File
	Motions []Motion
}

// CorrectionPoint is one row of a correction table.
type CorrectionPoint struct {
	Row         int
	Frequency   quantity.Frequency
	Factor      quantity.Decibel // dB to add; a plain factor is converted by 20·log10 for a field, 10·log10 for a power
	Uncertainty string           // as written, "" where there is none
}

// Correction is a correction table sorted by frequency, at least one point.
type Correction struct {
	File        File
	Points      []CorrectionPoint
	InDecibels  bool   // as the file writes it; else a plain factor
	Certificate string // certificate number where the preamble names one
}

// Asset is one row of the equipment register.
type Asset struct {
	Row                               int
	Name                              string // the asset's mark, such as FP-03
	Description, Maker, Model, Serial string
	Calibrated, Due                   time.Time // dates at midnight UTC; zero where not given
	Certificate, Traceability         string
	From, To                          quantity.Frequency // range of use; NaN where not given
}

// Register is the laboratory's list of equipment.
type Register struct {
	File      File
	Assets    []Asset
	Conflicts map[string][]int // assets, in small letters, of which several rows say different things: their rows
}

// Settings are what the readers need to know besides the entry.
type Settings struct {
	Zone   *time.Location // the report's time zone
	Date   time.Time      // about when the test was made, by which digits are told from Unix time; zero where not known
	MaxGap time.Duration  // longest gap that counts as continuous; 0: three times the median distance
	Use    Use            // what a correction table that LookAt looks at is applied to
	Beside []Writing      // how the other files of the day write, for what a file does not show by itself
}
