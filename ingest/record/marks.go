package record

import (
	"bytes"
	"fmt"
	"regexp"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/table"
)

// why says which cell showed the decimal mark.
func (e *markEvidence) why() string {
	return fmt.Sprintf("row %d, %s", e.shownAt, table.Shown(e.shows))
}

// settleNumbers finds the decimal mark from the columns of numbers.
func (l *layout) settleNumbers() {
	l.numbers = notation.Numbers{Decimal: '.', Workbook: l.file.Workbook()}
	switch {
	case l.entry.Decimal != 0:
		l.numbers.Decimal, l.markShown = byte(l.entry.Decimal), true
		l.numbersWhy = statedColumn
		return
	case l.file.Workbook():
		l.markShown = true
		return
	}
	var seen markEvidence
	for i := range l.sample {
		for c, found := range l.columns {
			switch cell := found.of(&l.sample[i]); {
			case isNumeric(c), c == table.Time && secondsWithMark.Match(cell):
				seen.look(cell, l.sample[i].Number, found)
			}
		}
	}
	l.numbersWhy = "no number of the file has a mark"
	switch {
	case seen.comma && !seen.point:
		l.numbers.Decimal, l.markShown, l.numbersWhy = ',', true, seen.why()
	case seen.point && !seen.comma:
		l.markShown, l.numbersWhy = true, seen.why()
	}
}

// secondsWithMark are numbers of a time column that are no date and no time of day:
// seconds since 1970 with their fraction.
var secondsWithMark = regexp.MustCompile(`^\d{9,}[.,]\d+$`)

// fractions finds the mark before the fraction of a second.
var fractions = regexp.MustCompile(`:\d\d([.,])\d`)

// markBesideNumbers returns the decimal mark that a file shows where none of its
// numbers does: in the fractions of seconds of its times, or by the mark in numbers
// that suits the delimiter: a comma beside semicolons or tabs, a point beside commas (day.md, what a cell
// means). It is 0 where nothing decides.
func (l *layout) markBesideNumbers(seen markEvidence) (mark byte, why string) {
	if seen.doubtful == nil || seen.comma || seen.point {
		return 0, ""
	}
	var inTimes byte
	for i := range l.sample {
		for _, c := range l.times {
			found := fractions.FindSubmatch(c.of(&l.sample[i]))
			switch {
			case found == nil:
			case inTimes != 0 && inTimes != found[1][0]:
				return 0, ""
			default:
				inTimes = found[1][0]
			}
		}
	}
	switch {
	case inTimes != 0:
		return inTimes, "as in the fractions of seconds of its times"
	case (l.delimiter == ';' || l.delimiter == '\t') && bytes.IndexByte(seen.doubtful, ',') >= 0:
		return ',', "a comma in numbers beside this delimiter"
	case l.delimiter == ',' && bytes.IndexByte(seen.doubtful, '.') >= 0:
		return '.', "a point in numbers beside this delimiter" // where commas part the cells, points part no thousands
	}
	if mark := l.writing().markOf(l.settings.Beside); mark != 0 {
		return mark, "as in the other files of the day"
	}
	return 0, ""
}

// isNumeric reports whether the column holds numbers, which show the decimal mark.
func isNumeric(c table.Column) bool {
	switch c {
	case table.Field, table.AxisX, table.AxisY, table.AxisZ, table.Frequency, table.Forward, table.Reflected,
		table.Duration, table.Factor, unixTime, elapsedTime, net, levelSet, battery, temperature, uncertainty:
		return true
	}
	return false
}

// markEvidence is what cells show about the decimal mark.
type markEvidence struct {
	point, comma bool
	shows        []byte // the first cell that can be read one way only
	shownAt      int
	doubtful     []byte // the first cell that could be read either way
	row          int
}

// look takes in what one cell shows. A number such as 1,234 shows its mark too
// where 1234 would be more than the quantity can be.
func (e *markEvidence) look(cell []byte, row int, c *column) {
	cell = c.cutSuffix(cell)
	mark, doubtful := notation.ShowsMark(cell)
	if doubtful && c.most > 0 {
		at := bytes.IndexAny(cell, ".,")
		whole, ok := notation.Numbers{Decimal: '.'}.Parse(bytes.Join([][]byte{cell[:at], cell[at+1:]}, nil))
		if ok && c.convert(whole.Value) > c.most {
			mark, doubtful = cell[at], false
		}
	}
	if mark != 0 && e.shows == nil {
		e.shows, e.shownAt = bytes.Clone(cell), row
	}
	switch {
	case mark == '.':
		e.point = true
	case mark == ',':
		e.comma = true
	case doubtful && e.doubtful == nil:
		e.doubtful, e.row = bytes.Clone(cell), row
	}
}

func (e *markEvidence) add(other markEvidence) {
	e.point = e.point || other.point
	e.comma = e.comma || other.comma
	if e.shows == nil {
		e.shows, e.shownAt = other.shows, other.shownAt
	}
	if e.doubtful == nil {
		e.doubtful, e.row = other.doubtful, other.row
	}
}

// cutSuffix takes the unit off a cell of a column whose cells hold it.
func (c *column) cutSuffix(cell []byte) []byte {
	if c.suffix == "" {
		return cell
	}
	number, ok := bytes.CutSuffix(cell, []byte(c.suffix))
	if !ok {
		return cell
	}
	return bytes.TrimRight(number, " \u00a0")
}
