package record

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"fieldheld/ingest/place"
	"fieldheld/ingest/spelling"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// statusWords are parts of the headings of columns that say whether a sample can
// be trusted, folded. A log may have several of them, one an axis for example.
var statusWords = []string{"status", "overload", "ovl", "satur", "error", "fault", "flag", "warning", "quality", "valid"}

// statusColumn is a column that says whether a sample can be trusted.
type statusColumn struct {
	*column
	positive bool // 1 and yes are good, as below “valid”; else they are not
	marks    bool // its heading says that it is one
	entry    *table.Entry
}

// read reads the mark of a row: what the job sheet says of it, else what is known.
func (c statusColumn) read(row *table.Row) (bad bool, unknown wording.Text) {
	switch cell := c.of(row); {
	case listed(c.entry.StatusBad, cell):
		return true, wording.Text{}
	case listed(c.entry.StatusGood, cell):
		return false, wording.Text{}
	}
	if c.positive {
		return validityMark(c.column, c.of(row))
	}
	return statusMark(c.column, c.of(row))
}

// findStatuses lists the status columns of a header, and the columns of which
// nothing is read.
func (l *layout) findStatuses() {
	l.statuses, l.unread, l.leftOut = nil, nil, nil
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
		marks := named == table.Status || named == validity || !read && h.unit == "" && likeStatus(h)
		switch {
		case l.ignores(h) || marks && l.entry.NoStatus:
			positive := known[h.name] == validity || saysValid(h.text)
			l.leftOut = append(l.leftOut, statusColumn{&column{index: i, heading: h}, positive, marks, &l.entry})
			if marks {
				delete(l.columns, table.Status)
			}
		case named == table.Status: // by its word, or as the job sheet says: then its word tells the sense
			l.addStatus(i, h, known[h.name] == validity || saysValid(h.text))
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
	l.statuses = append(l.statuses, statusColumn{&column{index: index, heading: h, why: namedColumn}, positive, true, &l.entry})
}

// leftOutMarks is the marks in columns that the job sheet says mark nothing.
type leftOutMarks struct {
	count, row int
	bad        questionable // the first that is known to be bad, in a column whose heading says that it marks readings
}

// add takes in what was met before other rows, or behind them.
func (m *leftOutMarks) add(other leftOutMarks) {
	if m.count == 0 {
		m.row = other.row
	}
	if m.bad.row == 0 {
		m.bad = other.bad
	}
	m.count += other.count
}

// refuse is the error about a status that cannot be left out: it says of a reading
// that it cannot be trusted, in words that mean nothing else.
func (l *layout) refuse(m leftOutMarks) error {
	if m.bad.row == 0 {
		return nil
	}
	heading := l.headings[m.bad.column].text
	return place.NewError(l.file.Place(m.bad.row, heading), wording.Say("status.left-out", wording.Values{"found": table.Shown([]byte(m.bad.word))}))
}

// remark says what was left out, so that it is not left out in silence.
func (l *layout) leftOutRemark(m leftOutMarks) (RowProblem, bool) {
	if len(l.leftOut) == 0 || m.count == 0 && !slices.ContainsFunc(l.leftOut, func(c statusColumn) bool { return c.marks }) {
		return RowProblem{}, false
	}
	var names []string
	for _, c := range l.leftOut {
		names = append(names, "“"+c.heading.text+"”")
	}
	remark := RowProblem{Kind: Remark, Reason: wording.Say("remark.left-out", wording.Values{"headings": names, "marks": m.count, "row": m.row})}
	if m.count > 0 {
		remark.Row = m.row
	}
	return remark, true
}

// marksIn returns the marks of a row in columns that are left out.
func (l *layout) marksIn(row *table.Row) leftOutMarks {
	found := leftOutMarks{row: row.Number}
	for _, c := range l.leftOut {
		cell := c.of(row)
		bad, unknown := overloadWord(cell), wording.Text{}
		if c.marks {
			bad, unknown = c.read(row)
		}
		if !bad {
			continue
		}
		found.count++
		if c.marks && unknown.IsZero() && found.bad.row == 0 {
			found.bad = questionable{row: row.Number, column: c.index, word: string(cell)}
		}
	}
	return found
}

// listed reports whether a mark is one of a list, whatever its case.
func listed(list []string, cell []byte) bool {
	return len(list) > 0 && slices.ContainsFunc(list, func(mark string) bool { return strings.EqualFold(mark, string(cell)) })
}

// checkMarks reports marks of the job sheet that cannot mean what it says.
func (l *layout) checkMarks(problems *place.Messages) {
	for _, mark := range l.entry.StatusGood {
		bad := overloadWord([]byte(mark)) || strings.EqualFold(mark, "INVALID") || strings.EqualFold(mark, "ERR")
		if !bad && !listed(l.entry.StatusBad, []byte(mark)) {
			continue
		}
		text := wording.Say("status.good-and-bad", wording.Values{"found": table.Shown([]byte(mark))})
		if bad {
			text = wording.Say("status.bad-as-good", wording.Values{"found": table.Shown([]byte(mark))})
		}
		problems.Add(place.Message{Place: l.file.Place(l.header.Number, ""), Text: text})
	}
}

// goodMarksRemark says which marks count as good because the job sheet says so.
func (l *layout) goodMarksRemark() (RowProblem, bool) {
	var marks []string
	for _, mark := range l.entry.StatusGood {
		marks = append(marks, table.Shown([]byte(mark)))
	}
	return RowProblem{Kind: Remark, Reason: wording.Say("remark.good-marks", wording.Values{"marks": marks})}, len(marks) > 0 && len(l.statuses) > 0
}

// likeStatus reports whether a heading names a status by one of its parts.
func likeStatus(h heading) bool {
	name := spelling.Fold(h.text)
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
	column, heading := table.ColumnLetter(q.column), ""
	if q.column < len(l.headings) && l.headings[q.column].text != "" {
		heading = l.headings[q.column].text
		column = heading
	}
	return place.NewError(l.file.Place(q.row, column), wording.Say("status.not-read", wording.Values{"found": table.Shown([]byte(q.word)),
		"heading": heading, "number": q.column + 1}))
}

func statusMark(c *column, cell []byte) (bad bool, unknown wording.Text) {
	switch {
	case len(cell) == 0, len(cell) == 1 && cell[0] == '0', len(cell) == 2 && cell[0]|0x20 == 'o' && cell[1]|0x20 == 'k':
		return false, wording.Text{}
	case len(cell) == 1 && cell[0] == '1':
		return true, wording.Text{}
	}
	switch strings.ToUpper(string(cell)) {
	case "OVERLOAD", "OVL", "INVALID", "ERR":
		return true, wording.Text{}
	}
	return true, c.unreadable(cell, wording.Say("cell.status", nil))
}

// validityMark reads a column in which 1 is good, unlike a status.
func validityMark(c *column, cell []byte) (bad bool, unknown wording.Text) {
	switch strings.ToUpper(string(cell)) {
	case "1", "OK", "VALID", "YES", "TRUE":
		return false, wording.Text{}
	case "0", "INVALID", "NO", "FALSE":
		return true, wording.Text{}
	}
	return true, c.unreadable(cell, wording.Say("cell.validity", nil))
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
