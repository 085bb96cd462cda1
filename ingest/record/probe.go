package record

import (
	"bytes"
	"math"
	"slices"
	"sort"
	"strings"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// ReadProbeLog reads a field-probe log. An orderly log is gone through once, in
// chunks that are parsed side by side. A log whose clock goes back is gone
// through again with the rows known that cannot be kept, because what repeats a
// row or a value is only told among the rows that are.
func ReadProbeLog(src table.Source, entry table.Entry, s Settings) (*ProbeLog, error) {
	var log *ProbeLog
	read := func(back map[int]string) ([]int, error) {
		var dropped []int
		err := readTable(src, entry, s, probeKind, func(l *layout) (evidence, error) {
			p := newProbeReader(l, back, int(src.Size()))
			seen, err := p.run()
			if err != nil {
				return seen, err
			}
			log, dropped = p.log, p.finish()
			return seen, p.log.File.orNothing(l)
		})
		return dropped, err
	}
	dropped, err := read(nil)
	if err == nil && len(dropped) > 0 {
		back := map[int]string{}
		for _, row := range dropped {
			back[row] = "the time goes back behind rows before it by more than the longest continuous gap"
		}
		_, err = read(back)
	}
	if err != nil {
		return nil, err
	}
	return log, nil
}

// probeReader collects the chunks of one log.
type probeReader struct {
	reader
	log      *ProbeLog
	back     map[int]string // rows known to go back
	repeated []table.Column // columns watched for a frozen probe
	values   [][]float64    // theirs, in file order, where the reading alone does not tell
	eligible []uint8        // bit i: repeated[i] is not zero and has four digits or more
	lastLine []byte         // the readable row before
	lastRow  [][]byte       // likewise, of a workbook
	size     int            // of the file, to lay out memory
}

// probeChunk is what one chunk holds.
type probeChunk struct {
	stamps      []stamp
	readings    []quantity.FieldStrength
	rows        []int32
	bad         []bool
	frequencies []quantity.Frequency
	values      [][]float64
	eligible    []uint8
	problems    []RowProblem
	unread      int
	first, last keptRow
	seen        evidence
	length      int
}

// keptRow is a row that outlives its chunk.
type keptRow struct {
	number int
	line   []byte
	cells  [][]byte
}

func newProbeReader(l *layout, back map[int]string, size int) *probeReader {
	p := &probeReader{reader: reader{layout: l}, log: &ProbeLog{}, back: back, size: size}
	for _, c := range []table.Column{table.AxisX, table.AxisY, table.AxisZ} {
		if l.has(c) {
			p.repeated = append(p.repeated, c)
		}
	}
	p.values = make([][]float64, len(p.repeated))
	if l.has(table.Field) {
		p.repeated = append(p.repeated, table.Field)
	}
	return p
}

func (p *probeReader) run() (evidence, error) {
	p.fileFacts(&p.log.File)
	err := table.Read(p.file, p.delimiter, p.after(), p.parseChunk, p.takeChunk)
	return p.seen, err
}

// parseChunk reads the rows of a chunk. It runs beside others of its kind and
// only reads what they share.
func (p *probeReader) parseChunk(c *table.Chunk) *probeChunk {
	out := &probeChunk{values: make([][]float64, len(p.values))}
	r := reader{layout: p.layout}
	var before keptRow
	for c.Next() {
		row := c.Row()
		if r.passes(row) {
			continue
		}
		reason := p.back[row.Number]
		if reason == "" {
			reason = r.fault(row)
		}
		if reason == "" {
			reason = p.sample(&r, row, out)
		}
		if reason != "" {
			out.unread++
			out.problems = append(out.problems, RowProblem{Row: row.Number, Kind: Unreadable, Reason: reason})
			continue
		}
		if before.number != 0 && before.equals(row) {
			out.problems = append(out.problems, RowProblem{Row: row.Number, Kind: Duplicate, Reason: duplicateReason})
		}
		before.take(row)
		if out.first.number == 0 {
			out.first.take(row)
		}
	}
	out.last, out.seen = before, r.seen
	return out
}

func (k *keptRow) take(row *table.Row) {
	k.number = row.Number
	if row.Line != nil {
		k.line = append(k.line[:0], row.Line...)
		return
	}
	k.cells = k.cells[:0]
	for _, c := range row.Cells {
		k.cells = append(k.cells, bytes.Clone(c))
	}
}

func (k *keptRow) equals(row *table.Row) bool {
	if row.Line != nil {
		return bytes.Equal(k.line, row.Line)
	}
	return table.SameCells(k.cells, row.Cells)
}

// sample reads one row into the chunk, or says why it cannot.
func (p *probeReader) sample(r *reader, row *table.Row, out *probeChunk) string {
	t, reason := r.stamp(row, r.timeColumns()[0])
	if reason != "" {
		return reason
	}
	reading, values, eligible, reason := p.reading(r, row)
	if reason != "" {
		return reason
	}
	bad, mark := r.mark(row)
	if r.has(table.Frequency) {
		f := quantity.Undefined[quantity.Frequency]()
		if len(r.cell(row, table.Frequency)) > 0 {
			if f, _, reason = r.frequency(row); reason != "" {
				return reason
			}
		}
		out.frequencies = append(out.frequencies, f)
	}
	if mark != "" {
		out.problems = append(out.problems, RowProblem{Row: row.Number, Kind: UnknownMark, Reason: mark})
	}
	out.stamps = append(out.stamps, t)
	out.readings = append(out.readings, reading)
	out.rows = append(out.rows, int32(row.Number))
	out.bad = append(out.bad, bad)
	out.eligible = append(out.eligible, eligible)
	for i := range out.values {
		out.values[i] = append(out.values[i], values[i])
	}
	return ""
}

// reading reads the total, or the root of the sum of the squares of the axes.
func (p *probeReader) reading(r *reader, row *table.Row) (total quantity.FieldStrength, values [3]float64, eligible uint8, reason string) {
	squares := 0.0
	summed := !r.has(table.Field)
	for i, c := range p.repeated {
		if c == table.Field {
			var n numeral
			if total, n, reason = r.field(row, c); reason != "" {
				return
			}
			eligible |= frozenBit(n, i)
			continue
		}
		if !summed {
			if n, ok := r.numbers.parse(r.cell(row, c)); ok {
				values[i], eligible = n.value, eligible|frozenBit(n, i)
			}
			continue
		}
		e, n, why := r.field(row, c)
		if why != "" {
			return 0, values, 0, why
		}
		values[i], eligible = n.value, eligible|frozenBit(n, i)
		squares += float64(e) * float64(e)
	}
	if summed {
		total = quantity.FieldStrength(math.Sqrt(squares))
	}
	return total, values, eligible, ""
}

// frozenBit marks a value that a frozen probe could repeat.
func frozenBit(n numeral, i int) uint8 {
	if n.digits >= 4 && n.value != 0 {
		return 1 << i
	}
	return 0
}

// mark reads the status column.
func (r *reader) mark(row *table.Row) (bad bool, unknown string) {
	cell := r.cell(row, table.Status)
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
	return true, table.Shown(cell) + " in “" + r.columns[table.Status].heading.text + "” is no known mark; the sample is taken as invalid (good: OK, 0 or nothing; bad: 1, OVERLOAD, OVL, INVALID, ERR)"
}

// takeChunk appends a chunk to the log, in the order of the file.
func (p *probeReader) takeChunk(c *probeChunk) {
	p.seen.add(c.seen)
	log := p.log
	if c.first.number != 0 && len(log.Rows) > 0 && p.sameAsLast(c.first) {
		at := sort.Search(len(c.problems), func(i int) bool { return c.problems[i].Row >= c.first.number })
		c.problems = slices.Insert(c.problems, at, RowProblem{Row: c.first.number, Kind: Duplicate, Reason: duplicateReason})
	}
	if c.last.number != 0 {
		p.lastLine, p.lastRow = c.last.line, c.last.cells
	}
	log.File.RowsUnread += c.unread
	log.File.Problems = append(log.File.Problems, c.problems...)
	for i, s := range c.stamps {
		t, reason := p.timeline.at(s)
		if reason != "" {
			log.File.unreadable(int(c.rows[i]), reason)
			continue
		}
		log.Times = append(log.Times, t)
		log.Readings = append(log.Readings, c.readings[i])
		log.Rows = append(log.Rows, c.rows[i])
		log.Bad = append(log.Bad, c.bad[i])
		if c.frequencies != nil {
			log.Frequencies = append(log.Frequencies, c.frequencies[i])
		}
		p.eligible = append(p.eligible, c.eligible[i])
		for k := range p.values {
			p.values[k] = append(p.values[k], c.values[k][i])
		}
	}
}

func (p *probeReader) sameAsLast(row keptRow) bool {
	if row.line != nil {
		return bytes.Equal(p.lastLine, row.line)
	}
	return table.SameCells(p.lastRow, row.cells)
}

// finish sorts the samples, finds the gap and what repeats, and returns the
// rows that go back too far to be kept; the log is only complete without any.
func (p *probeReader) finish() []int {
	log := p.log
	log.File.RowsRead = len(log.Times)
	log.Gap = continuousGap(log.Times, p.settings.MaxGap)
	if back := goesBack(log.Times, log.Gap); p.back == nil && len(back) > 0 {
		rows := make([]int, len(back))
		for i, at := range back {
			rows[i] = int(log.Rows[at])
		}
		return rows
	}
	slices.SortStableFunc(log.File.Problems, func(a, b RowProblem) int { return a.Row - b.Row })
	p.sortByTime()
	if n := len(log.Times); n > 0 {
		log.File.First, log.File.Last, log.File.HasTimes = log.Times[0], log.Times[n-1], true
	}
	for i, c := range p.repeated {
		values := func(at int) float64 { return float64(log.Readings[at]) }
		if c != table.Field {
			column := p.values[i]
			values = func(at int) float64 { return column[at] }
		}
		log.Repeats = append(log.Repeats, p.blocks(i, p.columns[c].heading.text, values)...)
	}
	slices.SortStableFunc(log.Repeats, func(a, b Block) int { return a.First - b.First })
	return nil
}

// blocks finds the runs of ten and more samples that repeat one value.
func (p *probeReader) blocks(bit int, name string, value func(int) float64) []Block {
	const least = 10
	var found []Block
	n := len(p.eligible)
	for first := 0; first < n; {
		if p.eligible[first]>>bit&1 == 0 {
			first++
			continue
		}
		next := first + 1
		for next < n && p.eligible[next]>>bit&1 == 1 && value(next) == value(first) {
			next++
		}
		if next-first >= least {
			found = append(found, Block{First: first, Last: next - 1, Column: name})
		}
		first = next
	}
	return found
}

// sortByTime puts samples that came out of order, within the gap, in theirs.
func (p *probeReader) sortByTime() {
	if slices.IsSorted(p.log.Times) {
		return
	}
	order := make([]int, len(p.log.Times))
	for i := range order {
		order[i] = i
	}
	times := p.log.Times
	sort.SliceStable(order, func(i, j int) bool { return times[order[i]] < times[order[j]] })
	p.log.Times = reordered(p.log.Times, order)
	p.log.Readings = reordered(p.log.Readings, order)
	p.log.Rows = reordered(p.log.Rows, order)
	p.log.Bad = reordered(p.log.Bad, order)
	if p.log.Frequencies != nil {
		p.log.Frequencies = reordered(p.log.Frequencies, order)
	}
	p.eligible = reordered(p.eligible, order)
	for i := range p.values {
		p.values[i] = reordered(p.values[i], order)
	}
}

func reordered[T any](values []T, order []int) []T {
	sorted := make([]T, len(values))
	for i, from := range order {
		sorted[i] = values[from]
	}
	return sorted
}
