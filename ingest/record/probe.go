package record

import (
	"math"
	"slices"
	"sort"
	"sync/atomic"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// ReadProbeLog reads a field-probe log.
//
// An orderly log is gone through once, in chunks that are parsed side by side.
// A log whose clock goes back is gone through a second time, because what
// repeats a row or a value is only told among the rows that are kept, in the
// order of their times, and which those are is only known at its end.
func ReadProbeLog(src table.Source, entry table.Entry, s Settings) (*ProbeLog, error) {
	p := &probeReader{}
	if err := readTable(src, entry, s, probeKind, p); err != nil {
		return nil, err
	}
	return p.log, nil
}

// again begins the careful pass over a log that turned out not to be orderly.
func (p *probeReader) again() bool {
	if p.careful || p.orderly() {
		return false
	}
	p.careful = true
	return true
}

func (p *probeReader) read(l *layout) (evidence, error) {
	p.begin(l)
	err := table.Read(l.file, l.delimiter, l.after(), p.parseChunk, p.takeChunk)
	if err == nil {
		p.finish()
	}
	return p.seen, err
}

func (p *probeReader) check(l *layout) error {
	if err := l.askQuestion(p.question); err != nil {
		return err
	}
	if err := l.refuse(p.marks); err != nil {
		return err
	}
	return p.log.File.finish(l)
}

// probeReader puts a log together from its chunks.
type probeReader struct {
	*layout
	log  *ProbeLog
	seen evidence

	careful bool               // the second pass over a log that is not orderly
	dropped map[int]droppedRow // rows that the first pass found to go back, or without an instant
	sorted  bool               // all kept times came in order

	watched   []*column    // axes and total, as far as the log has them
	frequency *column      // nil where the log has none
	field     *column      // the total, nil where the axes give the reading
	repeats   []uint8      // for each sample: which watched values equal those of the one before
	values    []watchedRow // of a careful pass, for each sample
	last      keptRow      // the readable row before
	tail      watchedRow   // what the sample before shows
	places    int          // most decimal places of a frequency
	kept      int          // rows that were not read and keep their time
	gap       float64      // g, of the first pass: rows that go back count in it
	backwards bool         // the first pass found the newest sample first
	hopeless  atomic.Bool  // nearly no row can be read: the rest is passed over
	question  questionable // the first mark of overload in a column that is not read
	marks     leftOutMarks // in columns that the job sheet leaves out
	pool      chunkPool    // chunks that were taken and can be filled again
}

// begin lays out the columns of the log for the rows that the file's size lets
// expect.
func (p *probeReader) begin(l *layout) {
	p.layout, p.seen, p.sorted, p.last, p.values = l, evidence{}, true, keptRow{}, nil
	p.tail, p.places, p.kept, p.question = watchedRow{}, math.MinInt, 0, questionable{}
	p.marks = leftOutMarks{}
	if !p.careful {
		p.dropped = map[int]droppedRow{}
	}
	p.watched = nil
	for _, c := range []table.Column{table.AxisX, table.AxisY, table.AxisZ, table.Field} {
		if l.has(c) {
			p.watched = append(p.watched, l.columns[c])
		}
	}
	p.field, p.frequency = l.columns[table.Field], l.columns[table.Frequency]
	rows := l.expectedRows()
	p.log = &ProbeLog{
		Times: make([]quantity.Instant, 0, rows), Readings: make([]quantity.FieldStrength, 0, rows),
		Rows: make([]int32, 0, rows), Faults: make([]Fault, 0, rows),
	}
	if l.has(table.Frequency) {
		p.log.Frequencies = make([]quantity.Frequency, 0, rows)
	}
	p.repeats = make([]uint8, 0, rows)
	p.log.Detector = l.detector()
	l.fileFacts(&p.log.File)
}

// expectedRows estimates the rows of a file from those at its beginning, a few
// too many rather than too few. It is no more than a hint, and bounded.
func (l *layout) expectedRows() int {
	bytes, rows := 0, 0
	for i := range l.sample {
		bytes += len(l.sample[i].Line) + 1
		rows++
	}
	if bytes <= rows || l.file.Workbook() {
		return 0
	}
	const most = 1 << 23
	return int(min(float64(l.file.Size())/float64(bytes)*float64(rows)*1.02+16, most))
}

// orderly reports whether the first pass was enough.
func (p *probeReader) orderly() bool { return p.sorted && len(p.dropped) == 0 }

// takeChunk appends a chunk to the log, in the order of the file.
func (p *probeReader) takeChunk(c *probeChunk) {
	p.seen.add(c.seen)
	log := p.log
	if log.File.RowsRead = len(log.Times) - p.kept; log.File.hopeless() {
		p.hopeless.Store(true)
	}
	if c.first.number != 0 && p.last.number != 0 {
		if f := &c.first; p.last.equals(f.number, f.line, f.cells, f.at, p.delimiter) {
			at := sort.Search(len(c.problems), func(i int) bool { return c.problems[i].Row >= c.first.number })
			c.problems = slices.Insert(c.problems, at, RowProblem{Row: c.first.number, Kind: Duplicate, Reason: wording.Say("row.duplicate", nil)})
		}
	}
	if len(c.repeats) > 0 {
		c.repeats[0] = p.tail.repeated(&c.head)
		p.tail = c.tail
	}
	if c.last.number != 0 {
		p.last.copy(&c.last)
	}
	p.marks.add(c.leftOut)
	if p.question.row == 0 {
		p.question = c.question
	}
	p.places = max(p.places, c.places)
	p.kept += c.kept
	log.File.RowsUnread += c.unread
	for _, problem := range c.problems {
		log.File.note(problem)
	}
	p.takeTimes(c)
	log.Readings = append(log.Readings, c.readings...)
	log.Rows = append(log.Rows, c.rows...)
	log.Faults = append(log.Faults, c.faults...)
	log.Frequencies = append(log.Frequencies, c.frequencies...)
	p.repeats = append(p.repeats, c.repeats...)
	p.values = append(p.values, c.values...)
	p.pool.put(c)
}

// takeTimes puts the stamps of a chunk on the timeline. A row without an instant
// keeps its place for now, with the time before it; it makes a second pass
// necessary, which leaves it out.
func (p *probeReader) takeTimes(c *probeChunk) {
	times := p.log.Times
	for i, s := range c.stamps {
		t, reason := p.timeline.At(s)
		if !reason.IsZero() {
			p.dropped[int(c.rows[i])] = droppedRow{reason: reason}
			t = 0
			if len(times) > 0 {
				t = times[len(times)-1]
			}
		}
		p.sorted = p.sorted && (len(times) == 0 || t >= times[len(times)-1])
		times = append(times, t)
	}
	p.log.Times = times
}

// finish finds the gap, the rows that go back and what repeats.
func (p *probeReader) finish() {
	log := p.log
	log.File.RowsRead = len(log.Times) - p.kept
	log.Resolution = p.resolution(p.places)
	if !p.careful {
		p.gap = continuousGap(log.Times, p.settings.MaxGap)
		p.backwards = newestFirst(log.Times)
		p.dropStale()
	}
	log.Gap = p.gap
	if p.careful {
		if p.backwards {
			log.File.Problems = append([]RowProblem{{Kind: Remark, Reason: wording.Say("remark.backwards", nil)}}, log.File.Problems...)
		}
		p.sortByTime()
	}
	if remark, ok := p.sameTimes(); ok {
		log.File.Problems = append([]RowProblem{remark}, log.File.Problems...)
	}
	if remark, ok := p.goodMarksRemark(); ok {
		log.File.Problems = append([]RowProblem{remark}, log.File.Problems...)
	}
	if remark, ok := p.leftOutRemark(p.marks); ok {
		log.File.Problems = append([]RowProblem{remark}, log.File.Problems...)
	}
	if n := len(log.Times); n > 0 {
		log.File.First, log.File.Last, log.File.HasTimes = log.Times[0], log.Times[n-1], true
	}
	p.findRepeats()
	p.repeats, p.values = nil, nil
}

// sameTimes is the remark about samples that have the time of the one before and
// are not that same row again, which is noted by itself.
func (p *probeReader) sameTimes() (RowProblem, bool) {
	again := map[int]bool{}
	for _, problem := range p.log.File.Problems {
		if problem.Kind == Duplicate {
			again[problem.Row] = true
		}
	}
	count, first := 0, int32(0)
	for i := 1; i < len(p.log.Times); i++ {
		if p.log.Times[i] != p.log.Times[i-1] || again[int(p.log.Rows[i])] || again[int(p.log.Rows[i-1])] && p.log.Rows[i-1] > p.log.Rows[i] {
			continue
		}
		if count++; count == 1 {
			first = p.log.Rows[i]
		}
	}
	if p.log.File.flood != nil {
		count -= p.log.File.flood.count[Duplicate]
	}
	return RowProblem{Row: int(first), Kind: Remark, Reason: wording.Say("remark.same-time", wording.Values{"samples": count, "row": first})}, count > 0
}

// dropStale lists the samples that go back behind the latest one before them, in
// the order in which the log is read.
func (p *probeReader) dropStale() {
	log := p.log
	times := log.Times
	row := func(i int) int32 { return log.Rows[i] }
	if p.backwards {
		times = slices.Clone(times)
		slices.Reverse(times)
		row = func(i int) int32 { return log.Rows[len(times)-1-i] }
	}
	for _, s := range goesBack(times, p.gap) {
		p.dropped[int(row(s.at))] = droppedRow{back: times[s.behind].Sub(times[s.at]), behind: row(s.behind)}
	}
}

// sortByTime puts samples that came out of order, within the gap or the newest
// first, in theirs. Those of one time stay in the order of the file.
func (p *probeReader) sortByTime() {
	log := p.log
	order := make([]int32, len(log.Times))
	for i := range order {
		order[i] = int32(i)
	}
	times := log.Times
	slices.SortStableFunc(order, func(a, b int32) int {
		switch {
		case times[a] < times[b]:
			return -1
		case times[a] > times[b]:
			return 1
		}
		return 0
	})
	log.Times = reordered(log.Times, order)
	log.Readings = reordered(log.Readings, order)
	log.Rows = reordered(log.Rows, order)
	log.Faults = reordered(log.Faults, order)
	if log.Frequencies != nil {
		log.Frequencies = reordered(log.Frequencies, order)
	}
	p.values = reordered(p.values, order)
}

func reordered[T any](values []T, order []int32) []T {
	sorted := make([]T, len(values))
	for i, from := range order {
		sorted[i] = values[from]
	}
	return sorted
}

// droppedRow is a row that the first pass found to go back in time, or to have no
// instant.
type droppedRow struct {
	reason wording.Text  // against its instant; of a row that goes back it says nothing
	back   time.Duration // behind the row behind
	behind int32
}

func (p *probeReader) isDropped(row int) bool { _, dropped := p.dropped[row]; return dropped }

// whyDropped says why a row was dropped; nothing for one that was not.
func (p *probeReader) whyDropped(row int) wording.Text {
	d, dropped := p.dropped[row]
	if !dropped || !d.reason.IsZero() {
		return d.reason
	}
	return wording.Say("row.goes-back", wording.Values{"back": d.back, "row": d.behind, "gap": time.Duration(p.gap)})
}
