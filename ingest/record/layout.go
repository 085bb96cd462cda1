package record

import (
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// column is one column of a file and the quantity that it holds. A nil column
// is one that the file has not.
type column struct {
	index   int // from 0
	heading heading
	why     string // how the quantity was told
	unit    string // as the file or the job sheet writes it
	unitWhy string // how the unit was told
	suffix  string // the unit, where it stands in the cells too

	partOfDay bool // its numbers are parts of a day, as times in workbooks are

	convert func(float64) float64 // from a number of the column to the SI unit; nil where that is not needed
	most    float64               // more than the quantity can be, in the SI unit; 0 where there is no such bound
	date    *column               // of a column of times: the one that holds their date, nil where they do themselves
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
	kind       *kind
	file       *table.File
	entry      table.Entry
	settings   Settings
	delimiter  rune
	header     table.Row
	headings   []heading
	unitRow    int      // 0 where there is none
	units      [][]byte // its cells
	looked     int      // rows that were looked at for the header
	preamble   []table.Row
	sample     []table.Row // rows behind the header, as far as the beginning shows them
	columns    map[table.Column]*column
	statuses   []statusColumn // of a probe log; in columns as well where the vocabulary knows them
	leftOut    []statusColumn // columns that the job sheet says mark nothing
	unread     []int          // indices of the columns of which nothing is read
	times      []*column      // of the times that are read: the one of a log, or start and end
	end        rowEnd
	numbers    notation.Numbers
	markShown  bool // the file or the job sheet shows the decimal mark; else it is assumed
	clock      notation.Clock
	orderShown bool // the file or the job sheet shows the order of day and month; else it is assumed
	timeline   notation.Timeline
	numbersWhy string // how the decimal mark was told
	orderWhy   string // how the order of day and month was told
	timesAsked bool   // what the times mean is a question
	zoneWhy    string // how the zone of times that carry none was told
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

// findLayout finds the header row, the delimiter and the columns, and how units,
// numbers and times are written.
func findLayout(f *table.File, entry table.Entry, settings Settings, k *kind) (*layout, error) {
	l := bestLayout(f, entry, settings, k)
	if !l.complete() {
		return nil, l.explain()
	}
	return l, l.settle()
}

// bestLayout finds the header row, the delimiter and the columns, or what comes
// nearest to them.
func bestLayout(f *table.File, entry table.Entry, settings Settings, k *kind) *layout {
	var best *layout
	for _, delimiter := range f.Delimiters() {
		l := &layout{kind: k, file: f, entry: entry, settings: settings, delimiter: delimiter}
		l.findHeader(f.Head(delimiter))
		if best == nil || l.score() > best.score() {
			best = l
		}
	}
	if !best.complete() && entry.Delimiter == 0 && !f.Workbook() {
		l := &layout{kind: k, file: f, entry: entry, settings: settings, delimiter: ' '}
		if l.findHeader(f.Head(' ')); l.complete() && l.partsAlike() {
			return l
		}
	}
	return best
}

// partsAlike reports whether the rows of the beginning have as many cells as the
// header: blanks part cells only where they do nothing else.
func (l *layout) partsAlike() bool {
	rows := 0
	for i := range l.sample {
		if row := &l.sample[i]; !row.Empty() && !row.Comment() {
			if rows++; len(row.Cells) != len(l.headings) {
				return false
			}
		}
	}
	return rows > 0
}

// score orders layouts: complete ones first, then by how much they name.
func (l *layout) score() int {
	score := len(l.columns)*100 + min(len(l.headings), 99)
	if l.entry.NoHeader {
		score += 1000 * l.suits()
	}
	if l.complete() {
		score += 1e6
	}
	if field := l.columns[table.Field]; field != nil && field.why == unitColumn {
		score -= 5e5 // a name says more than a unit
	}
	if !l.partsRows() {
		score -= 3e5 // what stands in the header alone is part of a name, as in |E|
	}
	return score
}

// partsRows reports whether the delimiter parts the first row of data, where there
// is one.
func (l *layout) partsRows() bool {
	for i := range l.sample {
		if row := &l.sample[i]; !row.Empty() && !row.Comment() {
			return len(row.Cells) > 1
		}
	}
	return true
}

// explain says why no row of the file is the header of such a record.
func (l *layout) explain() error {
	all := l.kind.missing(func(table.Column) bool { return false })
	m := place.Message{Place: l.file.Place(l.entry.HeaderRow, "")}
	kind, lacks := l.kind.bare(), l.kind.missing(l.has)
	switch {
	case l.inApostrophes():
		m.Place = l.file.Place(l.header.Number, "")
		m.Text = wording.Say("header.in-apostrophes", wording.Values{"headings": l.headingTexts()})
	case l.entry.NoHeader:
		m.Text = wording.Say("header.no-numbers", wording.Values{"kind": kind, "lacks": lacks, "count": len(l.headings), "all": all})
	case l.header.Number == 0 && l.entry.HeaderRow > l.looked:
		m.Text = wording.Say("header.no-such-row", wording.Values{"looked": l.looked, "all": all})
	case l.header.Number == 0 && l.entry.HeaderRow != 0:
		m.Text = wording.Say("header.no-words", wording.Values{"all": all})
	case len(l.columns) == 0 && l.entry.HeaderRow != 0:
		m.Text = wording.Say("header.no-column", wording.Values{"headings": l.headingTexts(), "all": all})
	case l.headless() != nil:
		m.Text = wording.Say("header.data-alone", wording.Values{"kind": kind, "entry": l.headless().text(), "all": all})
	case len(l.columns) == 0:
		m.Text = wording.Say("header.none", wording.Values{"kind": kind, "all": all})
	default:
		m.Place = l.file.Place(l.header.Number, "")
		m.Text = wording.Say("header.lacks", wording.Values{"kind": l.kind.name, "lacks": lacks, "headings": l.headingTexts(),
			"entry": l.candidates(), "all": all})
	}
	problems := place.Messages{m}
	if l.header.Number != 0 || l.entry.NoHeader {
		l.checkStated(&problems)
	}
	return problems.Err()
}

// inApostrophes reports whether every heading stands in apostrophes.
func (l *layout) inApostrophes() bool {
	for _, h := range l.headings {
		if len(h.text) < 2 || h.text[0] != '\'' || h.text[len(h.text)-1] != '\'' {
			return false
		}
	}
	return len(l.headings) > 0
}

// headingTexts lists the headings for messages; a few dozen are enough.
func (l *layout) headingTexts() wording.Text {
	const most = 60
	var texts []string
	more := 0
	for _, h := range l.headings {
		switch {
		case h.text == "":
		case len(texts) == most:
			more++
		default:
			texts = append(texts, h.text)
		}
	}
	return wording.Say("column.headings", wording.Values{"headings": texts, "more": more})
}

// settle completes a layout with the units, the numbers and the times, and
// reports everything that the file leaves open.
func (l *layout) settle() error {
	var problems place.Messages
	l.checkStated(&problems)
	l.checkMarks(&problems)
	l.checkTwins(&problems)
	l.takeUnits(&problems)
	if err := problems.Err(); err != nil {
		return err
	}
	l.settleNumbers()
	l.end = l.usualEnd()
	err := l.settleClock()
	l.timesAsked = err != nil
	return err
}

// checkStated reports columns that the job sheet names and the header lacks.
func (l *layout) checkStated(problems *place.Messages) {
	for c, number := range l.entry.Numbers {
		if l.kind.takes(c) && number > len(l.headings) {
			problems.Add(place.Message{Place: l.file.Place(l.header.Number, ""),
				Text: wording.Say("column.no-such-number", wording.Values{"number": number, "count": len(l.headings), "column": c})})
		}
	}
	var texts []string
	for _, h := range l.headings {
		texts = append(texts, h.text)
	}
	for _, text := range l.entry.Ignored {
		if slices.ContainsFunc(texts, func(heading string) bool { return strings.EqualFold(strings.TrimSpace(text), heading) }) {
			continue
		}
		problems.Add(place.Message{Place: l.file.Place(l.header.Number, ""), Text: wording.Say("column.none-to-ignore",
			wording.Values{"heading": table.Clean(text), "headings": l.headingTexts(), "near": place.Nearest(text, texts)})})
	}
	for c, text := range l.entry.Columns {
		if l.kind.takes(c) && l.has(c) || !l.kind.takes(c) {
			continue
		}
		problems.Add(place.Message{Place: l.file.Place(l.header.Number, ""), Text: wording.Say("column.none-of-name",
			wording.Values{"heading": table.Clean(text), "headings": l.headingTexts(), "column": c, "near": place.Nearest(text, texts)})})
	}
}

// checkTwins reports two columns that could be the same quantity.
func (l *layout) checkTwins(problems *place.Messages) {
	known := l.kind.words()
	for i, h := range l.headings {
		c, ok := known[h.name]
		if l.ignores(h) {
			continue
		}
		if stated := l.stated(i, h); stated != "" {
			c, ok = stated, true
		} else if l.elsewhere(c) {
			continue
		}
		first, has := l.columns[c]
		if !ok || !has || first.index == i || !l.matters(c) {
			continue
		}
		problems.Add(place.Message{Place: l.file.Place(l.header.Number, ""), Text: wording.Say("column.twins", wording.Values{"column": c,
			"heading": first.heading.text, "letter": table.ColumnLetter(first.index), "otherHeading": h.text, "otherLetter": table.ColumnLetter(i),
			"alone": l.alone(first), "number": first.index + 1})})
	}
}

// matters reports whether the column is more than kept or passed over.
func (l *layout) matters(c table.Column) bool {
	switch c {
	case battery, temperature, uncertainty, net, levelSet, observation, table.Status, validity:
		return false
	}
	return l.kind.takes(c)
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
