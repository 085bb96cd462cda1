package record

import (
	"fmt"
	"slices"
	"strings"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/table"
)

// dataAlone is a file whose first rows are data already: how its rows are parted
// and which columns could be those that the kind needs.
type dataAlone struct {
	delimiter rune
	columns   []table.Column
	numbers   []int // of the columns, counted from 1
}

// text is the keys of the entry that say so.
func (d *dataAlone) text() string {
	var list []string
	for i, c := range d.columns {
		list = append(list, fmt.Sprintf("%s = %d", c, d.numbers[i]))
	}
	keys := "header_row = 0 and columns = { " + strings.Join(list, ", ") + " }"
	if d.delimiter == ' ' {
		return `delimiter = " ", ` + keys
	}
	return keys
}

// headless is what the file could be without a header row; nil where a row names
// columns, or the job sheet says which one does.
func (l *layout) headless() *dataAlone {
	if l.header.Number != 0 && len(l.columns) > 0 || l.entry.NoHeader || l.entry.HeaderRow != 0 {
		return nil
	}
	return l.dataAlone()
}

// dataAlone looks for a delimiter by which the first two rows hold a time in one
// column, or a number that may be one, and a number in another; nil where there is
// none, or where the kind needs something else than a time and a figure.
func (l *layout) dataAlone() *dataAlone {
	figure := l.kind.figure
	if figure == "" {
		return nil
	}
	for _, delimiter := range append(l.file.Delimiters(), ' ') {
		rows := l.file.Head(delimiter)
		rows = slices.DeleteFunc(rows, func(r table.Row) bool { return r.Empty() || r.Comment() })
		if len(rows) < 2 {
			continue
		}
		times, numbers := dataColumns(&rows[0])
		again, more := dataColumns(&rows[1])
		if len(times) == 0 && len(numbers) > 1 && len(again) == 0 { // elapsed times
			times, again, numbers, more = numbers[:1], more[:min(1, len(more))], numbers[1:], more[min(1, len(more)):]
		}
		if len(times) == 0 || len(numbers) == 0 || !slices.Equal(times, again) || !slices.Equal(numbers, more) {
			continue
		}
		return &dataAlone{delimiter: delimiter, columns: []table.Column{table.Time, figure}, numbers: []int{times[0], numbers[0]}}
	}
	return nil
}

// candidates is the key of the entry that names columns for what the kind lacks:
// the first that nobody names and that holds times or numbers, as it takes; "" where
// there is none for one of them.
func (l *layout) candidates() string {
	first := slices.IndexFunc(l.sample, func(r table.Row) bool { return !r.Empty() && !r.Comment() && !l.isUnitRow(&r) })
	if first < 0 {
		return ""
	}
	times, numbers := dataColumns(&l.sample[first])
	var list []string
	for _, need := range l.kind.needs {
		if need.met(l.has) {
			continue
		}
		wanted, from := need.any[0][0], numbers
		if slices.Contains(clockColumns, wanted) || wanted == table.Start {
			from = times
		}
		i := slices.IndexFunc(from, l.nameless)
		if i < 0 {
			return ""
		}
		list = append(list, fmt.Sprintf("%s = %q", wanted, l.headings[from[i]-1].text))
	}
	return "columns = { " + strings.Join(list, ", ") + " }"
}

// nameless reports whether a column, counted from 1, has a heading of its own that
// the vocabulary does not know and that says nothing of what it holds.
func (l *layout) nameless(number int) bool {
	if number > len(l.headings) {
		return false
	}
	h := l.headings[number-1]
	_, known := l.kind.words()[h.name]
	return h.text != "" && h.unit == "" && h.remark == "" && !known && l.alone(&column{index: number - 1, heading: h})
}

// dataColumns returns the numbers of the columns of a row that hold times, and of
// those that hold numbers.
func dataColumns(row *table.Row) (times, numbers []int) {
	for i, cell := range row.Cells {
		if _, _, ok := notation.ParseStamp(cell, notation.DayFirst); ok && !notation.NumberLike(string(cell)) {
			times = append(times, i+1)
		} else if mark, doubtful := notation.ShowsMark(cell); mark != 0 || doubtful || notation.OnlyDigits(string(cell)) && len(cell) > 0 {
			numbers = append(numbers, i+1)
		}
	}
	return times, numbers
}
