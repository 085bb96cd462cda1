package record

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
)

// statusWords are parts of the headings of columns that say whether a sample can
// be trusted, folded. A log may have several of them, one an axis for example.
var statusWords = []string{"status", "overload", "ovl", "satur", "error", "fault", "flag", "warning", "quality", "valid"}

// statusColumn is a column that says whether a sample can be trusted.
type statusColumn struct {
	*column
	positive bool // 1 and yes are good, as below “valid”; else they are not
}

// read reads the mark of a row.
func (c statusColumn) read(row *table.Row) (bad bool, unknown string) {
	if c.positive {
		return validityMark(c.column, c.of(row))
	}
	return statusMark(c.column, c.of(row))
}

// findStatuses lists the status columns of a header, and the columns of which
// nothing is read.
func (l *layout) findStatuses() {
	l.statuses, l.unread = nil, nil
	if !l.kind.takes(table.Status) {
		return
	}
	known := l.kind.words()
	for i, h := range l.headings {
		named, read := table.Column(""), false
		for c, found := range l.columns {
			if found.index == i {
				named, read = c, true
			}
		}
		if !read {
			named = known[h.name]
		}
		switch {
		case named == table.Status:
			l.addStatus(i, h, false)
		case named == validity:
			l.addStatus(i, h, true)
		case read || named != "" && l.kind.takes(named):
		case h.unit == "" && likeStatus(h):
			l.addStatus(i, h, saysValid(h.text))
		default:
			l.unread = append(l.unread, i)
		}
	}
}

func (l *layout) addStatus(index int, h heading, positive bool) {
	l.statuses = append(l.statuses, statusColumn{&column{index: index, heading: h, why: namedColumn}, positive})
}

// likeStatus reports whether a heading names a status by one of its parts.
func likeStatus(h heading) bool {
	name := fold(h.text)
	for _, word := range statusWords {
		if strings.Contains(name, word) {
			return true
		}
	}
	return false
}

// askQuestion is the error about marks of overload in a column that is not read.
func (l *layout) askQuestion(q questionable) error {
	if q.row == 0 {
		return nil
	}
	heading := table.ColumnLetter(q.column)
	if q.column < len(l.headings) && l.headings[q.column].text != "" {
		heading = l.headings[q.column].text
	}
	return &place.Error{Messages: place.Messages{{
		Place: l.file.Place(q.row, heading), What: "a column that is not read holds a mark of overload",
		Found: table.Shown([]byte(q.word)), Expected: "a heading that says what the column means, such as Status or Overload",
		Hint: fmt.Sprintf("if it marks readings that cannot be trusted, add columns = { status = %q } to the job sheet's entry", heading),
	}}}
}

func statusMark(c *column, cell []byte) (bad bool, unknown string) {
	switch {
	case len(cell) == 0, len(cell) == 1 && cell[0] == '0', len(cell) == 2 && cell[0]|0x20 == 'o' && cell[1]|0x20 == 'k':
		return false, ""
	case len(cell) == 1 && cell[0] == '1':
		return true, ""
	}
	switch strings.ToUpper(string(cell)) {
	case "OVERLOAD", "OVL", "INVALID", "ERR":
		return true, ""
	}
	return true, c.unreadable(cell, "known mark, the sample counts as invalid; OK, 0 and nothing are good, 1, OVERLOAD, OVL, INVALID and ERR are not")
}

// validityMark reads a column in which 1 is good, unlike a status.
func validityMark(c *column, cell []byte) (bad bool, unknown string) {
	switch strings.ToUpper(string(cell)) {
	case "1", "OK", "VALID", "YES", "TRUE":
		return false, ""
	case "0", "INVALID", "NO", "FALSE":
		return true, ""
	}
	return true, c.unreadable(cell, "known mark, the sample counts as invalid; 1, OK, VALID, YES and TRUE are good, 0, INVALID, NO and FALSE are not")
}

// negations are words, and beginnings of words, that turn “valid” round.
var negations = regexp.MustCompile(`^(?:not?|non|un|in|errors?|faults?|violations?)$|^(?:not|non|un|in)valid`)

// saysValid reports whether a heading asks if the sample is valid, so that 1 is
// good. A heading that negates it or counts faults asks the opposite.
func saysValid(heading string) bool {
	valid := false
	for _, word := range strings.FieldsFunc(camelCase.ReplaceAllString(heading, "$1 $2"), func(c rune) bool { return !unicode.IsLetter(c) }) {
		word = strings.ToLower(word)
		if negations.MatchString(word) {
			return false
		}
		valid = valid || strings.Contains(word, "valid")
	}
	return valid
}

// camelCase finds where a word in capitals and small letters goes on as another one.
var camelCase = regexp.MustCompile(`(\p{Ll})(\p{Lu})`)
