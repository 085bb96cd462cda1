package table

import (
	"time"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
)

// Column names a quantity that a column of a file can hold, as the keys of
// `columns` and `units` in the job sheet name them.
type Column string

// The columns that a job sheet can name.
const (
	Time         Column = "time"
	Date         Column = "date"
	Field        Column = "field"
	AxisX        Column = "x"
	AxisY        Column = "y"
	AxisZ        Column = "z"
	Frequency    Column = "frequency"
	Status       Column = "status"
	Forward      Column = "forward"
	Reflected    Column = "reflected"
	Start        Column = "start"
	End          Column = "end"
	Duration     Column = "duration"
	Run          Column = "run"
	Polarization Column = "polarization"
	Position     Column = "position"
	Modulation   Column = "modulation"
	Purpose      Column = "purpose"
	Factor       Column = "factor"
)

// Entry is how the job sheet says that one file is to be read. Everything but
// File may be left at its zero value: the defaults then find out.
type Entry struct {
	Place               place.Place        // where the job sheet names the file
	File                string             // path relative to the day's folder, forward slashes
	Sheet               string             // sheet of a workbook; "" is the first
	ClockOffset         time.Duration      // added to every time of the file
	Zone                *time.Location     // zone of times that carry none; nil: the report's
	Delimiter           rune               // 0: found out
	Decimal             rune               // '.' or ','; 0: found out
	HeaderRow           int                // row of the column heads; 0: found out
	FrequencyResolution quantity.Frequency // Undefined unless the sheet gives it
	NoHeader            bool               // the first row is one of data: columns are known by their numbers alone
	Columns             map[Column]string  // header text of a column
	Numbers             map[Column]int     // number of a column, from 1; a column is in one of both maps
	Units               map[Column]string  // unit of a column
	Ignored             []string           // headings of columns of which nothing is read and nothing asked
	StatusGood          []string           // marks of a status that say nothing against a reading, beside those that are known
	StatusBad           []string           // marks that say that a reading cannot be trusted, likewise
	NoStatus            bool               // no column says whether a reading can be trusted
	TimeFormat          string             // as Go writes layouts
	Start               time.Time          // of elapsed seconds; zero: the file says it
}
