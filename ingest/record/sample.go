package record

import (
	"bytes"
	"math"
	"strings"
	"sync"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// probeChunk holds what one chunk of a log gives: columns of equal length, in
// the order of the file.
type probeChunk struct {
	stamps      []stamp
	readings    []quantity.FieldStrength
	rows        []int32
	faults      []Fault
	frequencies []quantity.Frequency // empty where the log has none
	repeats     []uint8
	values      []watchedRow // empty but in a careful pass

	problems    []RowProblem
	unread      int
	first, last keptRow
	seen        evidence
}

// chunkPool keeps chunks that were taken, so that a long log does not ask for
// new memory all the time.
type chunkPool struct{ free sync.Pool }

func (p *chunkPool) get() *probeChunk {
	if c, ok := p.free.Get().(*probeChunk); ok {
		return c
	}
	return &probeChunk{}
}

func (p *chunkPool) put(c *probeChunk) {
	*c = probeChunk{
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
	at     stamp
	values watchedRow
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
	k.cells, k.at, k.values = other.cells, other.at, other.values
	if other.line == nil {
		k.line = nil
	}
}

// equals reports whether every cell of another row has the same text. Rows that
// are the same line are; others are parted into their cells only where they give
// the same time, which few do.
func (k *keptRow) equals(number int, line []byte, cells [][]byte, at stamp, delimiter rune) bool {
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
	for c.Next() {
		row := c.Row()
		reason := s.read(row)
		if reason != "" {
			if reason != noData {
				out.unread++
				out.problems = append(out.problems, RowProblem{Row: row.Number, Kind: Unreadable, Reason: reason})
			}
			continue
		}
		repeated := uint8(0)
		if before.number != 0 {
			if before.equals(row.Number, row.Line, row.Cells, s.at, p.delimiter) {
				out.problems = append(out.problems, RowProblem{Row: row.Number, Kind: Duplicate, Reason: duplicateReason})
			}
			repeated = before.values.repeated(&s.values)
		}
		out.repeats = append(out.repeats, repeated)
		if p.careful {
			out.values = append(out.values, s.values)
		}
		before.take(row)
		before.at, before.values = s.at, s.values
		if out.first.number == 0 {
			out.first.copy(before)
		}
	}
	out.seen = s.seen
	return out
}

// sampler reads the samples of one chunk.
type sampler struct {
	reader
	probe  *probeReader
	out    *probeChunk
	at     stamp // of the row that was read last
	values watchedRow
}

// read appends a row to the chunk, or says why it cannot.
func (s *sampler) read(row *table.Row) string {
	if row.Comment() {
		return noData
	}
	reason := s.fault(row)
	if reason == "" {
		reason = s.sample(row)
	}
	if reason == "" {
		return ""
	}
	return s.verdict(row, reason)
}

func (s *sampler) sample(row *table.Row) string {
	if s.probe.careful {
		if reason := s.probe.dropped[row.Number]; reason != "" {
			return reason
		}
	}
	var reason string
	if s.at, reason = s.stamp(row, s.times[0]); reason != "" {
		return reason
	}
	reading, reason := s.reading(row)
	if reason != "" {
		return reason
	}
	if column := s.probe.frequency; column != nil {
		f := quantity.Undefined[quantity.Frequency]()
		if len(column.of(row)) > 0 {
			if f, _, reason = s.reader.frequency(row, column); reason != "" {
				return reason
			}
		}
		s.out.frequencies = append(s.out.frequencies, f)
	}
	bad, mark := s.mark(row)
	if mark != "" {
		s.out.problems = append(s.out.problems, RowProblem{Row: row.Number, Kind: UnknownMark, Reason: mark})
	}
	s.out.stamps = append(s.out.stamps, s.at)
	s.out.readings = append(s.out.readings, reading)
	s.out.rows = append(s.out.rows, int32(row.Number))
	fault := NoFault
	if bad {
		fault = Marked
	}
	s.out.faults = append(s.out.faults, fault)
	return ""
}

// reading reads the total, or the root of the sum of the squares of the axes.
// Axes beside a total are only looked at for values that repeat.
func (s *sampler) reading(row *table.Row) (quantity.FieldStrength, string) {
	var total quantity.FieldStrength
	squares := 0.0
	s.values.eligible = 0
	for i, c := range s.probe.watched {
		var n numeral
		switch {
		case s.probe.field == nil || c == s.probe.field:
			e, number, reason := s.field(row, c)
			if reason != "" {
				return 0, reason
			}
			total, n = e, number
			squares += float64(e) * float64(e)
		default:
			n, _ = s.numbers.parse(c.of(row))
		}
		s.values.set(i, n)
	}
	if s.probe.field == nil {
		total = quantity.FieldStrength(math.Sqrt(squares))
	}
	return total, ""
}

// mark reads the status column, and one that says whether the sample is valid.
func (s *sampler) mark(row *table.Row) (bad bool, unknown string) {
	if c := s.probe.status; c != nil {
		bad, unknown = statusMark(c, c.of(row))
	}
	if c := s.probe.validity; c != nil && unknown == "" {
		invalid, word := validityMark(c, c.of(row))
		bad, unknown = bad || invalid, word
	}
	return bad, unknown
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
