package record

import (
	"bytes"
	"math"
	"strings"
	"sync"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// probeChunk holds what one chunk of a log gives: columns of equal length, in
// the order of the file.
type probeChunk struct {
	stamps      []notation.Stamp
	readings    []quantity.FieldStrength
	rows        []int32
	faults      []Fault
	frequencies []quantity.Frequency // empty where the log has none
	repeats     []uint8
	values      []watchedRow // empty but in a careful pass

	problems    []RowProblem
	reasons     map[oddity]wording.Text // the first of each; nil while the problems are few
	unread      int
	kept        int        // of the unread rows: those that keep their time
	first, last keptRow    // the readable rows at both ends
	head, tail  watchedRow // what the samples at both ends show
	places      int        // most decimal places of a frequency
	question    questionable
	leftOut     leftOutMarks
	seen        evidence
}

// note adds a problem. Of more problems than a file lists, only the first of each
// reason is told: the others of that reason share its words, which would otherwise
// take more memory than the rows.
func (c *probeChunk) note(p RowProblem) {
	if len(c.problems) > mostProblems {
		key := p.oddity()
		if c.reasons == nil {
			c.reasons = map[oddity]wording.Text{}
			for _, before := range c.problems {
				if _, known := c.reasons[before.oddity()]; !known {
					c.reasons[before.oddity()] = before.Reason
				}
			}
		}
		if first, known := c.reasons[key]; known {
			p.Reason = first
		} else {
			c.reasons[key] = p.Reason
		}
	}
	c.problems = append(c.problems, p)
}

// questionable is a mark of overload in a column that is not read.
type questionable struct {
	row    int // 0 where there is none
	column int
	word   string
}

// chunkPool keeps chunks that were taken, so that a long log does not ask for
// new memory all the time.
type chunkPool struct{ free sync.Pool }

func (p *chunkPool) get() *probeChunk {
	if c, ok := p.free.Get().(*probeChunk); ok {
		return c
	}
	return &probeChunk{places: math.MinInt}
}

func (p *chunkPool) put(c *probeChunk) {
	*c = probeChunk{
		places: math.MinInt,
		stamps: c.stamps[:0], readings: c.readings[:0], rows: c.rows[:0], faults: c.faults[:0],
		frequencies: c.frequencies[:0], repeats: c.repeats[:0], values: c.values[:0],
		first: keptRow{line: c.first.line[:0]}, last: keptRow{line: c.last.line[:0]},
	}
	p.free.Put(c)
}

// keptRow is a readable row that outlives the next one.
type keptRow struct {
	number int
	line   []byte
	cells  [][]byte // of a workbook, which has no lines
	at     notation.Stamp
}

func (k *keptRow) take(row *table.Row) {
	k.number = row.Number
	if row.Line == nil {
		k.line, k.cells = nil, row.Clone().Cells
		return
	}
	k.line = append(k.line[:0], row.Line...)
}

func (k *keptRow) copy(other *keptRow) {
	k.number, k.line = other.number, append(k.line[:0], other.line...)
	k.cells, k.at = other.cells, other.at
	if other.line == nil {
		k.line = nil
	}
}

// equals reports whether every cell of another row has the same text. Rows that
// are the same line are; others are parted into their cells only where they give
// the same time, which few do.
func (k *keptRow) equals(number int, line []byte, cells [][]byte, at notation.Stamp, delimiter rune) bool {
	switch {
	case k.number == 0 || number == 0 || k.at != at:
		return false
	case k.line == nil:
		return table.SameCells(k.cells, cells)
	case bytes.Equal(k.line, line):
		return true
	}
	return table.SameCells(table.Cells(k.line, delimiter), table.Cells(line, delimiter))
}

// parseChunk reads the rows of a chunk. It runs beside others of its kind and
// only looks at what they share.
func (p *probeReader) parseChunk(c *table.Chunk) *probeChunk {
	out := p.pool.get()
	s := sampler{reader: reader{layout: p.layout}, probe: p, out: out}
	before := &out.last
	for !p.hopeless.Load() && c.Next() {
		row := c.Row()
		outcome, reason := s.read(row)
		switch outcome {
		case noRow:
			continue
		case unread:
			out.unread++
			out.note(RowProblem{Row: row.Number, Kind: Unreadable, Reason: reason})
			continue
		case timeOnly:
			out.unread++
			out.kept++
			out.note(RowProblem{Row: row.Number, Kind: NoValue, Reason: reason})
		}
		out.repeats = append(out.repeats, out.tail.repeated(&s.values))
		out.tail = s.values
		if len(out.repeats) == 1 {
			out.head = s.values
		}
		if p.careful {
			out.values = append(out.values, s.values)
		}
		if outcome != whole {
			continue
		}
		if before.number != 0 && before.equals(row.Number, row.Line, row.Cells, s.at, p.delimiter) {
			out.note(RowProblem{Row: row.Number, Kind: Duplicate, Reason: wording.Say("row.duplicate", nil)})
		}
		before.take(row)
		before.at = s.at
		if out.first.number == 0 {
			out.first.copy(before)
		}
	}
	out.seen = s.seen
	return out
}

// outcome is what became of a row.
type outcome int

const (
	noRow    outcome = iota // it holds no data
	unread                  // nothing of it counts
	timeOnly                // it keeps its time, without a reading
	marked                  // it keeps its time, with a mark of overload in the place of the reading
	whole                   // it is a sample
)

// sampler reads the samples of one chunk.
type sampler struct {
	reader
	probe  *probeReader
	out    *probeChunk
	at     notation.Stamp // of the row that was read last
	reason wording.Text   // why it is no whole sample
	values watchedRow
}

// read appends a row to the chunk, or says why it cannot.
func (s *sampler) read(row *table.Row) (outcome, wording.Text) {
	if row.Comment() {
		return noRow, wording.Text{}
	}
	fault := s.fault(row)
	if fault.IsZero() && s.sample(row) {
		return whole, wording.Text{}
	}
	reason := fault
	if reason.IsZero() {
		reason = s.reason
	}
	reason, noData := s.verdict(row, reason)
	if noData {
		return noRow, wording.Text{}
	}
	if s.careful() && s.probe.isDropped(row.Number) || row.NoLineEnd && !fault.IsZero() {
		return unread, reason
	}
	return s.timeAlone(row, reason)
}

func (s *sampler) careful() bool { return s.probe.careful }

// timeAlone keeps the time of a row whose reading cannot be had: what happened in
// that moment is not known, and no stretch may pass over it.
func (s *sampler) timeAlone(row *table.Row, reason wording.Text) (outcome, wording.Text) {
	at, unreadable := s.stamp(row, s.times[0])
	if !unreadable.IsZero() {
		return unread, reason
	}
	s.at, s.values = at, watchedRow{}
	if row.Fault.IsZero() && s.overloaded(row) {
		s.keep(row, quantity.Undefined[quantity.FieldStrength](), Marked, s.frequencyOr(row))
		return marked, wording.Text{}
	}
	s.keep(row, quantity.Undefined[quantity.FieldStrength](), NoReading, s.frequencyOr(row))
	return timeOnly, reason
}

// overloaded reports whether a cell of the reading holds a mark of overload.
func (s *sampler) overloaded(row *table.Row) bool {
	for _, c := range s.probe.watched {
		if (s.probe.field == nil || c == s.probe.field) && overloadWord(c.of(row)) {
			return true
		}
	}
	return false
}

// overloadWord reports whether a cell is a mark of overload in the place of a
// number, with or without stars and brackets.
func overloadWord(cell []byte) bool {
	if len(cell) < 2 || len(cell) > 16 {
		return false
	}
	switch strings.ToUpper(strings.Trim(string(cell), "*<>()[]!. ")) {
	case "OVL", "OL", "OVER", "OVERLOAD", "OVERRANGE":
		return true
	}
	return false
}

// frequencyOr returns the frequency of a row, undefined where it has none that can
// be read.
func (s *sampler) frequencyOr(row *table.Row) quantity.Frequency {
	f := quantity.Undefined[quantity.Frequency]()
	if column := s.probe.frequency; column != nil && len(column.of(row)) > 0 {
		if read, _, reason := s.reader.frequency(row, column); reason.IsZero() {
			f = read
		}
	}
	return f
}

// keep appends a sample.
func (s *sampler) keep(row *table.Row, reading quantity.FieldStrength, fault Fault, f quantity.Frequency) {
	s.out.stamps = append(s.out.stamps, s.at)
	s.out.readings = append(s.out.readings, reading)
	s.out.rows = append(s.out.rows, int32(row.Number))
	s.out.faults = append(s.out.faults, fault)
	if s.probe.frequency != nil {
		s.out.frequencies = append(s.out.frequencies, f)
	}
}

// sample reads a whole sample, or says in s.reason why it cannot.
func (s *sampler) sample(row *table.Row) bool {
	if s.reason = (wording.Text{}); s.careful() {
		if s.reason = s.probe.whyDropped(row.Number); !s.reason.IsZero() {
			return false
		}
	}
	if s.at, s.reason = s.stamp(row, s.times[0]); !s.reason.IsZero() {
		return false
	}
	var reading quantity.FieldStrength
	if reading, s.reason = s.reading(row); !s.reason.IsZero() {
		return false
	}
	f := quantity.Undefined[quantity.Frequency]()
	if column := s.probe.frequency; column != nil && len(column.of(row)) > 0 {
		var n notation.Number
		if f, n, s.reason = s.reader.frequency(row, column); !s.reason.IsZero() {
			return false
		}
		s.out.places = max(s.out.places, n.Places)
	}
	fault := NoFault
	if s.bad(row) {
		fault = Marked
	}
	s.keep(row, reading, fault, f)
	return true
}

// reading reads the total, or the root of the sum of the squares of the axes.
// Axes beside a total are only looked at for values that repeat.
func (s *sampler) reading(row *table.Row) (quantity.FieldStrength, wording.Text) {
	var total quantity.FieldStrength
	squares := 0.0
	s.values.eligible = 0
	for i, c := range s.probe.watched {
		var n notation.Number
		switch {
		case s.probe.field == nil || c == s.probe.field:
			e, number, reason := s.field(row, c)
			if !reason.IsZero() {
				return 0, reason
			}
			total, n = e, number
			squares += float64(e) * float64(e)
		default:
			n, _ = s.numbers.Parse(c.of(row))
		}
		s.values.set(i, n)
	}
	if s.probe.field == nil {
		total = quantity.FieldStrength(math.Sqrt(squares))
	}
	return total, wording.Text{}
}

// bad reads every column that says whether a sample can be trusted, and looks at
// the columns that are not read for words of overload.
func (s *sampler) bad(row *table.Row) bool {
	bad := false
	for _, c := range s.statuses {
		invalid, unknown := c.read(row)
		bad = bad || invalid
		if !unknown.IsZero() {
			s.out.note(RowProblem{Row: row.Number, Kind: UnknownMark, Reason: unknown})
		}
	}
	if len(s.leftOut) > 0 {
		if marks := s.marksIn(row); marks.count > 0 {
			s.out.leftOut.add(marks)
		}
	}
	for _, i := range s.unread {
		if cell := row.Cell(i); s.out.question.row == 0 && overloadWord(cell) {
			s.out.question = questionable{row: row.Number, column: i, word: string(cell)}
		}
	}
	return bad
}
