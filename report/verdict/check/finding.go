// Package check finds what an evaluated day does not prove. A check is a value:
// a name, one line of doc and a function from the evaluated day to findings;
// suite.go is the only list of them.
package check

import (
	"fmt"

	"fieldheld/ingest/quantity"
	"fieldheld/templates/wording"
)

// FindingState says what a finding decides.
type FindingState string

// The states of a finding.
const (
	Open     FindingState = "open"     // decides
	Accepted FindingState = "accepted" // a deviation covers it
	Note     FindingState = "note"     // decides nothing
)

// Evidence is where a finding can be seen. Rows is zero where no row is meant.
type Evidence struct {
	File  string
	Sheet string
	First int
	Last  int
}

// String writes the place in words: "probe/h1.csv, sheet H1, rows 3 to 9".
func (e Evidence) String() string {
	text := e.File
	if e.Sheet != "" {
		text += ", sheet " + e.Sheet
	}
	switch {
	case e.First > 0 && e.First == e.Last:
		text += fmt.Sprintf(", row %d", e.First)
	case e.First > 0:
		text += fmt.Sprintf(", rows %d to %d", e.First, e.Last)
	}
	return text
}

// Finding is one thing that the measurement shows.
type Finding struct {
	Check        string
	State        FindingState
	Run          string                // id; "" unless exactly one run is concerned
	Polarization quantity.Polarization // "" unless of a visit, cell or run
	Position     quantity.Position     // 0 likewise
	From, To     quantity.Frequency    // NaN unless of a visit, hole or cell
	Text         wording.Text          // what is wrong and how far off, one or two sentences
	Evidence     []Evidence
	Deviation    int      // index of the covering deviation plus one; 0 for none
	Visit        VisitRef // the visit concerned, where there is exactly one
	Cell         int      // index plus one of the cell that a hole or the whole of the cell concerns; 0 for none
	Hole         int      // index plus one in the cell's holes; 0 for none
	ActsOn       []int    // indices of the runs on whose cells it acts, where it is not Run alone
	Asset        string   // the asset concerned, where there is exactly one
	Cause        string   // what tells findings of one check apart by their reason, for Group; may be empty
	Group        int      // joins findings of one check, run and cause over neighbouring steps or rows; 0 for none
	Follows      int      // index plus one of the finding on a clock of which it is a consequence; 0 for none

	apart *apart // of a finding on a clock
}

// Message says what is wrong and how far off.
func (f *Finding) Message() string { return f.Text.String() }

// Meaning says what a finding may mean and what to do; it may be empty.
func (f *Finding) Meaning() string { return f.Text.Part("meaning") }

// VisitRef points at a visit of the evaluated day: indices plus one, 0 for none.
type VisitRef struct{ Run, Visit int }
