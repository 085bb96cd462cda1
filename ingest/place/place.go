// Package place says where something stands in a day's files, and what is wrong there.
//
// Every value that reaches an evaluation carries a Place, so that each finding
// can point at the file, sheet and row that prove it. A Message says that an
// input cannot be trusted as it is; what the measurement itself shows is a
// finding and belongs to package check.
package place

import (
	"fmt"
	"sort"
	"strings"

	"fieldheld/templates/wording"
)

// Place is a position in an input file. The zero value means "nowhere in
// particular"; every field is optional.
type Place struct {
	File   string // path relative to the day's folder, with forward slashes
	Sheet  string // sheet of a workbook
	Row    int    // as a spreadsheet counts: the first line is row 1
	Column string // header text or letter of the column
	Key    string // key of a job sheet or requirement file, such as "run[2].dwell.file"
}

// String writes the place as a person would say it:
// "power/h1.xlsx, sheet H1, row 12, column Forward (W)".
func (p Place) String() string {
	var parts []string
	if p.File != "" {
		parts = append(parts, p.File)
	}
	if p.Sheet != "" {
		parts = append(parts, "sheet "+p.Sheet)
	}
	if p.Row > 0 {
		word := "row"
		if p.Key != "" || strings.HasSuffix(p.File, ".toml") {
			word = "line"
		}
		parts = append(parts, fmt.Sprintf("%s %d", word, p.Row))
	}
	if p.Column != "" {
		parts = append(parts, "column "+p.Column)
	}
	if p.Key != "" {
		parts = append(parts, p.Key)
	}
	return OneLine(strings.Join(parts, ", "))
}

// Message is one reason why an input cannot be used as it is.
type Message struct {
	Place   Place
	Missing bool         // the key at the place is needed and not written
	Text    wording.Text // what is wrong; its parts say the rest
}

// What says what is wrong: one clause, no full stop.
func (m Message) What() string { return m.Text.String() }

// Found says what stands there; empty when nothing does.
func (m Message) Found() string { return m.Text.Part("found") }

// Expected says what would have been right; it may be empty.
func (m Message) Expected() string { return m.Text.Part("expected") }

// Hint says what to do about it; it may be empty.
func (m Message) Hint() string { return m.Text.Part("hint") }

// String writes the message on a few lines, the place first.
func (m Message) String() string {
	var b strings.Builder
	if where := m.Place.String(); where != "" {
		b.WriteString(where + ": ")
	}
	b.WriteString(OneLine(m.What()))
	for _, part := range [][2]string{{"found:    ", m.Found()}, {"expected: ", m.Expected()}, {"to do:    ", m.Hint()}} {
		if part[1] != "" {
			b.WriteString("\n    " + part[0] + OneLine(part[1]))
		}
	}
	return b.String()
}

// Messages is a list of problems. It is not an error by itself: use Err, which
// is nil for an empty list.
type Messages []Message

// Add appends a message.
func (ms *Messages) Add(m Message) { *ms = append(*ms, m) }

// Err returns the list as an error, sorted by place, or nil when it is empty.
func (ms Messages) Err() error {
	if len(ms) == 0 {
		return nil
	}
	sorted := append(Messages(nil), ms...)
	sort.SliceStable(sorted, func(i, j int) bool { return less(sorted[i].Place, sorted[j].Place) })
	return &Error{Messages: sorted}
}

func less(a, b Place) bool {
	switch {
	case a.File != b.File:
		return a.File < b.File
	case a.Sheet != b.Sheet:
		return a.Sheet < b.Sheet
	default:
		return a.Row < b.Row
	}
}

// Error carries every message about the inputs of one call, at least one.
type Error struct{ Messages Messages }

// Error writes all messages, a blank line between them.
func (e *Error) Error() string {
	const most = 100 // nobody reads more at once
	texts := make([]string, min(len(e.Messages), most))
	for i := range texts {
		texts[i] = e.Messages[i].String()
	}
	if more := len(e.Messages) - len(texts); more > 0 {
		texts = append(texts, fmt.Sprintf("%d more problems are not shown; mend these first", more))
	}
	return strings.Join(texts, "\n\n")
}

// NewError returns an error with a single message.
func NewError(where Place, text wording.Text) error {
	return &Error{Messages: Messages{{Place: where, Text: text}}}
}

// Nearest returns the name closest to word, or "" when none is close enough to
// be what the writer meant (at most a third of its letters differ).
func Nearest(word string, names []string) string {
	best, bestDistance := "", len([]rune(word))/3+2
	for _, name := range names {
		if d := editDistance(strings.ToLower(word), strings.ToLower(name)); d < bestDistance {
			best, bestDistance = name, d
		}
	}
	return best
}

// editDistance counts the single-letter changes between a and b (Levenshtein).
func editDistance(a, b string) int {
	from, to := []rune(a), []rune(b)
	row := make([]int, len(to)+1)
	for j := range row {
		row[j] = j
	}
	for i, ra := range from {
		diagonal := row[0]
		row[0] = i + 1
		for j, rb := range to {
			cost := diagonal
			if ra != rb {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(to)]
}
