package record

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// column is one column of a file and the quantity that it holds. A nil column
// is one that the file has not.
type column struct {
	index   int // from 0
	heading heading
	unit    string                // as the file or the job sheet writes it
	why     string                // how the quantity and the unit were told
	convert func(float64) float64 // from a number of the column to the SI unit; nil where it is not needed
}

// of returns the column's cell of a row, nothing where there is no column.
func (c *column) of(row *table.Row) []byte {
	if c == nil {
		return nil
	}
	return row.Cell(c.index)
}

// layout is how one file is to be read.
type layout struct {
	kind      *kind
	file      *table.File
	entry     table.Entry
	settings  Settings
	delimiter rune
	header    table.Row
	headings  []heading
	unitRow   int      // 0 where there is none
	units     [][]byte // its cells
	preamble  []table.Row
	sample    []table.Row // rows behind the header, as far as the beginning shows them
	columns   map[table.Column]*column
	times     []*column // of the times that are read: the one of a log, or start and end
	date      *column   // that holds the date of those, where they do not hold it
	numbers   notation
	clock     clock
	timeline  timeline
}

// after returns the last row before the data.
func (l *layout) after() int { return max(l.header.Number, l.unitRow) }

// has reports whether the file has a column of the quantity.
func (l *layout) has(c table.Column) bool {
	_, ok := l.columns[c]
	return ok
}

// where returns the place of the column's heading.
func (l *layout) where(c *column) place.Place {
	return l.file.Place(l.header.Number, c.heading.text)
}

// findLayout finds the header row, the delimiter and the columns.
func findLayout(f *table.File, entry table.Entry, settings Settings, k *kind) (*layout, error) {
	var best, partial *layout
	for _, delimiter := range f.Delimiters() {
		l := &layout{kind: k, file: f, entry: entry, settings: settings, delimiter: delimiter}
		complete := l.findHeader(f.Head(delimiter))
		switch {
		case complete && (best == nil || len(l.columns) > len(best.columns)):
			best = l
		case !complete && (partial == nil || l.score() > partial.score()):
			partial = l
		}
	}
	if best == nil {
		return nil, partial.explain()
	}
	return best, best.settle()
}

// score orders layouts that lack something, for the message about the best.
func (l *layout) score() int { return len(l.columns)*100 + min(len(l.headings), 99) }

// findHeader takes the first row whose cells name all that the kind needs.
// Where none does, it keeps the row that names most.
func (l *layout) findHeader(rows []table.Row) bool {
	var most layout
	for i := range rows {
		row := &rows[i]
		if l.entry.HeaderRow != 0 && row.Number != l.entry.HeaderRow || !couldBeHeader(row) {
			continue
		}
		try := *l
		try.header, try.preamble, try.sample = *row, rows[:i], rows[i+1:]
		try.name(row)
		if len(l.kind.missing(try.has)) == 0 {
			*l = try
			return true
		}
		if most.header.Number == 0 || len(try.columns) > len(most.columns) {
			most = try
		}
	}
	if most.header.Number != 0 {
		*l = most
	}
	return false
}

// couldBeHeader passes over rows with less than the two names that every kind
// of record needs, which are nearly all where the delimiter is another.
func couldBeHeader(row *table.Row) bool {
	filled := 0
	for _, cell := range row.Cells {
		if len(cell) > 0 && !numberLike(string(cell)) {
			filled++
		}
	}
	return filled >= 2 && row.Fault == ""
}

// name gives the cells of a row their quantities, as far as it names any.
func (l *layout) name(row *table.Row) {
	known := l.kind.words()
	l.columns = map[table.Column]*column{}
	l.headings = make([]heading, len(row.Cells))
	for i, cell := range row.Cells {
		h := known.heading(cell)
		l.headings[i] = h
		c, why, ok := l.stated(h), "stated in the job sheet", true
		if c == "" {
			c, ok = known[h.name]
			why = "by its name"
		}
		if !ok || !l.kind.takes(c) || l.overridden(c, why) {
			continue
		}
		if _, twice := l.columns[c]; !twice {
			l.columns[c] = &column{index: i, heading: h, why: why}
		}
	}
}

// stated returns the quantity that the job sheet gives a heading.
func (l *layout) stated(h heading) table.Column {
	for c, text := range l.entry.Columns {
		if strings.EqualFold(strings.TrimSpace(text), h.text) || fold(text) != "" && (fold(text) == h.name || fold(text) == fold(h.text)) {
			return c
		}
	}
	return ""
}

// overridden reports whether the job sheet names another column for it.
func (l *layout) overridden(c table.Column, why string) bool {
	_, stated := l.entry.Columns[c]
	return stated && why == "by its name"
}

// explain says why no row of the file is the header of such a record.
func (l *layout) explain() error {
	m := place.Message{
		Place:    l.file.Place(0, ""),
		What:     "the columns of the " + l.kind.name + " cannot be told",
		Expected: "a header row with " + joinWords(l.kind.missing(func(table.Column) bool { return false })),
	}
	if len(l.columns) == 0 {
		m.Found = "no row that names any of them in the first " + fmt.Sprint(max(1, len(l.preamble)+len(l.sample)+1)) + " rows"
		m.Hint = "name the row with header_row, and the columns with columns = { time = \"…\" }, in the job sheet's entry"
	} else {
		m.Place = l.file.Place(l.header.Number, "")
		m.Found = "columns " + l.headingTexts()
		m.What = "the header lacks " + joinWords(l.kind.missing(l.has)) + " for a " + l.kind.name
		m.Hint = "say which column it is with columns = { … } in the job sheet's entry, or name the right file"
	}
	return &place.Error{Messages: place.Messages{m}}
}

func (l *layout) headingTexts() string {
	var texts []string
	for _, h := range l.headings {
		if h.text != "" {
			texts = append(texts, "“"+h.text+"”")
		}
	}
	return strings.Join(texts, ", ")
}

func joinWords(list []string) string {
	switch n := len(list); n {
	case 0:
		return "nothing"
	case 1:
		return list[0]
	default:
		return strings.Join(list[:n-1], ", ") + " and " + list[n-1]
	}
}

// settle completes a layout with the units, the numbers and the times, and
// reports everything that the file leaves open.
func (l *layout) settle() error {
	var problems place.Messages
	l.checkStated(&problems)
	l.checkTwins(&problems)
	l.takeUnits(&problems)
	if err := problems.Err(); err != nil {
		return err
	}
	l.settleNumbers()
	return l.settleClock()
}

// checkStated reports columns that the job sheet names and the header lacks.
func (l *layout) checkStated(problems *place.Messages) {
	for c, text := range l.entry.Columns {
		if l.kind.takes(c) && l.has(c) || !l.kind.takes(c) {
			continue
		}
		m := place.Message{
			Place: l.file.Place(l.header.Number, ""), What: "the header has no column “" + table.Clean(text) + "”",
			Found: "columns " + l.headingTexts(), Expected: "the column that the job sheet names for " + string(c),
			Hint: "correct columns." + string(c) + " in the job sheet's entry",
		}
		var texts []string
		for _, h := range l.headings {
			texts = append(texts, h.text)
		}
		if near := place.Nearest(text, texts); near != "" {
			m.Hint = "did you mean “" + near + "”? " + m.Hint
		}
		problems.Add(m)
	}
}

// checkTwins reports two columns that could be the same quantity.
func (l *layout) checkTwins(problems *place.Messages) {
	known := l.kind.words()
	for i, h := range l.headings {
		c, ok := known[h.name]
		if stated := l.stated(h); stated != "" {
			c, ok = stated, true
		} else if _, named := l.entry.Columns[c]; named {
			continue
		}
		first, has := l.columns[c]
		if !ok || !has || first.index == i || !l.matters(c) {
			continue
		}
		problems.Add(place.Message{
			Place:    l.file.Place(l.header.Number, ""),
			What:     fmt.Sprintf("two columns could be the %s", c),
			Found:    fmt.Sprintf("“%s” (column %s) and “%s” (column %s)", first.heading.text, table.ColumnLetter(first.index), h.text, table.ColumnLetter(i)),
			Expected: "one column, or an entry that says which",
			Hint:     fmt.Sprintf("add columns = { %s = %q } to the job sheet's entry, with the heading of the right one", c, first.heading.text),
		})
	}
}

// matters reports whether the column is more than kept or passed over.
func (l *layout) matters(c table.Column) bool {
	switch c {
	case battery, temperature, uncertainty, net, levelSet, observation:
		return false
	}
	return l.kind.takes(c)
}

// takeUnits finds the row of units below the header and gives each column its
// unit: from the job sheet, else the header, else that row.
func (l *layout) takeUnits(problems *place.Messages) {
	var below *table.Row
	for i := range l.sample {
		if row := &l.sample[i]; !row.Empty() && !row.Comment() {
			if l.isUnitRow(row) {
				below = row
				l.unitRow, l.units = row.Number, row.Cells
				l.sample = l.sample[i+1:]
			}
			break
		}
	}
	for c, found := range l.columns {
		switch stated, ok := l.entry.Units[c]; {
		case ok:
			found.unit, found.why = stated, found.why+", unit stated in the job sheet"
		case found.heading.unit != "":
			found.unit = found.heading.unit
		case below != nil:
			found.unit = bareUnit(found.of(below))
		}
	}
	for _, c := range l.kind.columns {
		if l.has(c) {
			l.checkUnit(c, problems)
		}
	}
}

// isUnitRow reports whether a row names a unit for a column and holds no number.
func (l *layout) isUnitRow(row *table.Row) bool {
	units := 0
	for i, cell := range row.Cells {
		if len(cell) > 0 && numberLike(string(cell)) {
			return false
		}
		if i < len(l.headings) && bareUnit(cell) != "" {
			units++
		}
	}
	return units > 0
}

// checkUnit reports a unit that is missing or not one of the quantity.
func (l *layout) checkUnit(c table.Column, problems *place.Messages) {
	ask := func(ok bool, unit, example string) {
		if ok {
			return
		}
		m := place.Message{
			Place:    l.where(l.columns[c]),
			What:     "the column has no unit",
			Expected: "a unit of " + example + " in brackets, after a comma or in the row below",
			Hint:     fmt.Sprintf("if you know it, add units = { %s = \"…\" } to the job sheet's entry", c),
		}
		if unit == "" {
			unit = l.columns[c].heading.remark
		}
		if unit != "" {
			m.What, m.Found = "the unit of the column is not known", "“"+table.Clean(unit)+"”"
		}
		problems.Add(m)
	}
	found := l.columns[c]
	switch unit := found.unit; c {
	case table.Field, table.AxisX, table.AxisY, table.AxisZ:
		convert, ok := quantity.FieldUnit(unit)
		found.convert = plain(convert)
		ask(ok || c != table.Field && l.has(table.Field), unit, "field strength (such as V/m)")
	case table.Forward, table.Reflected:
		convert, ok := quantity.PowerUnit(unit)
		found.convert = plain(convert)
		ask(ok, unit, "power (such as W or dBm)")
	case table.Frequency:
		convert, ok := quantity.FrequencyUnit(unit)
		found.convert = plain(convert)
		ask(ok, unit, "frequency (such as MHz)")
	case table.Factor:
		ask(unit == "" || quantity.IsDecibel(unit) || unit == "1", unit, "correction (dB, or none for a plain factor)")
	case table.Duration, elapsedTime:
		_, ok := quantity.TimeUnitSeconds(unit)
		ask(ok || unit == "", unit, "time (such as s)")
	}
}

// plain takes the type off a conversion, so that columns can hold any of them.
func plain[T quantity.Number](convert func(float64) T) func(float64) float64 {
	return func(x float64) float64 { return float64(convert(x)) }
}

// settleNumbers finds the decimal mark from the columns of numbers.
func (l *layout) settleNumbers() {
	l.numbers = notation{decimal: '.', binary: l.file.Workbook()}
	switch {
	case l.entry.Decimal != 0:
		l.numbers.decimal, l.numbers.shown = byte(l.entry.Decimal), true
		return
	case l.file.Workbook():
		l.numbers.shown = true
		return
	}
	var seen markEvidence
	for i := range l.sample {
		for c, found := range l.columns {
			if isNumeric(c) {
				seen.look(found.of(&l.sample[i]), l.sample[i].Number)
			}
		}
	}
	switch {
	case seen.comma && !seen.point:
		l.numbers.decimal, l.numbers.shown = ',', true
	case seen.point && !seen.comma:
		l.numbers.shown = true
	case l.delimiter == ',' && !seen.comma:
		l.numbers.shown = true
	}
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
	doubtful     []byte // the first cell that could be read either way
	row          int
}

func (e *markEvidence) look(cell []byte, row int) {
	mark, doubtful := showsMark(cell)
	switch {
	case mark == '.':
		e.point = true
	case mark == ',':
		e.comma = true
	case doubtful && e.doubtful == nil:
		e.doubtful, e.row = append([]byte(nil), cell...), row
	}
}

// zone returns the zone of times that carry none.
func (l *layout) zone() *time.Location {
	switch {
	case l.entry.Zone != nil:
		return l.entry.Zone
	case l.settings.Zone != nil:
		return l.settings.Zone
	}
	return time.UTC
}
