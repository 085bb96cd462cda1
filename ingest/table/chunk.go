package table

import (
	"bytes"
	"io"
	"runtime"
	"sync"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// chunkSize is how much of a text is cut and parsed at a time. It is also the
// longest row that is taken for one.
const chunkSize = 1 << 20

// Chunk is a run of whole rows of a table, to be gone through once with Next.
type Chunk struct {
	data      []byte
	buffer    []byte // that data lies in
	ends      []int  // where each row ends, where quotes make that more than a line end
	delimiter rune
	lineEnd   byte
	after     int // rows up to this one are left out
	number    int // of the row that Next gave last
	final     bool
	rows      []Row // of a workbook, instead of data
	row       Row
}

// Next moves on to the next row.
func (c *Chunk) Next() bool {
	for {
		if c.rows != nil {
			if len(c.rows) == 0 {
				return false
			}
			c.row, c.rows = c.rows[0], c.rows[1:]
			if c.row.Number > c.after {
				return true
			}
			continue
		}
		c.skipEmptyLines()
		if len(c.data) == 0 {
			return false
		}
		line := c.cut()
		if c.number++; c.number > c.after {
			c.take(line)
			return true
		}
	}
}

// skipEmptyLines passes over lines that hold nothing, of which a damaged file may
// have any number.
func (c *Chunk) skipEmptyLines() {
	for c.ends == nil && len(c.data) > 0 {
		n := 1
		if c.data[0] == '\r' && c.lineEnd == '\n' && len(c.data) > 1 {
			n = 2
		}
		if c.data[n-1] != c.lineEnd {
			return
		}
		c.data = c.data[n:]
		c.number++
	}
}

// cut takes the next row off the data.
func (c *Chunk) cut() []byte {
	end := 0
	if c.ends != nil {
		end, c.ends = c.ends[0], c.ends[1:]
	} else {
		end = firstLine(c.data, c.lineEnd)
	}
	line := c.data[:end]
	c.data = c.data[end:]
	return line
}

func (c *Chunk) take(line []byte) {
	c.row.NoLineEnd = c.final && len(c.data) == 0 && line[len(line)-1] != c.lineEnd
	for len(line) > 0 && (line[len(line)-1] == '\n' || line[len(line)-1] == '\r') {
		line = line[:len(line)-1]
	}
	c.row.Number, c.row.Line, c.row.Fault = c.number, line, wording.Text{}
	var closed bool
	if c.row.Cells, closed = split(line, c.delimiter, c.row.Cells[:0]); !closed {
		c.row.Fault = wording.Say("row.open-quote", nil)
	}
}

// Row returns the row that Next moved to. It is overwritten by the next call.
func (c *Chunk) Row() *Row { return &c.row }

// chunks cuts the rest of a table into chunks with exact row numbers.
type chunks interface {
	next() (*Chunk, error) // io.EOF after the last
	release(*Chunk)        // the chunk is used no longer
}

// textChunks cuts a text at line ends, or at row ends where quotes are about.
type textChunks struct {
	where     place.Place
	stream    io.Reader
	delimiter rune
	lineEnd   byte
	after     int
	size      int // of the whole text where it is known to be short, else 0
	rows      int // cut so far
	rest      []byte
	ended     bool
	pool      sync.Pool
}

func (t *textChunks) next() (*Chunk, error) {
	buffer := t.buffer()
	for !t.ended {
		kept := copy(buffer, t.rest)
		n, err := io.ReadFull(t.stream, buffer[kept:kept+t.piece()])
		data := buffer[:kept+n]
		switch err {
		case nil:
		case io.EOF, io.ErrUnexpectedEOF:
			t.ended = true
		default:
			return nil, readError(t.where, err)
		}
		chunk := t.cut(data)
		t.rest = append(t.rest[:0], squeezeZeros(data[len(chunk.data):])...)
		if len(t.rest) > chunkSize {
			return nil, longRow(t.where, t.rows+1)
		}
		if len(chunk.data) > 0 {
			chunk.buffer = buffer
			return chunk, nil
		}
	}
	return nil, io.EOF
}

// cut makes a chunk of the whole rows of data.
func (t *textChunks) cut(data []byte) *Chunk {
	chunk := &Chunk{delimiter: t.delimiter, lineEnd: t.lineEnd, after: t.after, number: t.rows, final: t.ended}
	if bytes.IndexByte(data, '"') >= 0 {
		chunk.data, chunk.ends = t.cutRecords(data)
		t.rows += len(chunk.ends)
	} else {
		chunk.data = t.cutLines(data)
		t.rows += bytes.Count(chunk.data, []byte{t.lineEnd})
	}
	return chunk
}

// squeezeZeros shortens the zero bytes that a logger leaves where it lost power:
// there can be any number of them, and no more of their row can be read.
func squeezeZeros(rest []byte) []byte {
	const enough = 64
	if used := len(bytes.TrimRight(rest, "\x00")); len(rest)-used > enough {
		return rest[:used+enough]
	}
	return rest
}

// buffer returns room for the rest of the chunk before and for a new one.
func (t *textChunks) buffer() []byte {
	if used, ok := t.pool.Get().(*[]byte); ok {
		return *used
	}
	return make([]byte, 2*t.piece())
}

// piece is how much is read at a time: of a short text all of it and, so that its
// end is met, one byte more.
func (t *textChunks) piece() int {
	if t.size > 0 && t.size < chunkSize {
		return t.size + 1
	}
	return chunkSize
}

// cutLines returns the whole lines of data.
func (t *textChunks) cutLines(data []byte) []byte {
	if t.ended {
		return data
	}
	return data[:bytes.LastIndexByte(data, t.lineEnd)+1]
}

// cutRecords returns the whole rows of data and the length of each.
func (t *textChunks) cutRecords(data []byte) ([]byte, []int) {
	ends, from := []int{}, 0
	for from < len(data) {
		end, whole := recordEnd(data[from:], []byte(string(t.delimiter)), t.lineEnd, t.ended)
		if !whole {
			break
		}
		ends = append(ends, end)
		from += end
	}
	return data[:from], ends
}

func (t *textChunks) release(c *Chunk) {
	if c.buffer != nil {
		t.pool.Put(&c.buffer)
	}
}

// Read hands the rows of a table to parse, a chunk at a time and several at
// once, and what parse returns to take, in the order of the file. Both are
// called for every chunk; an error is what kept the file from being read whole.
func Read[T any](f *File, delimiter rune, after int, parse func(*Chunk) T, take func(T)) error {
	type job struct {
		chunk *Chunk
		done  chan T
	}
	source := f.chunks(delimiter, after)
	workers := min(runtime.GOMAXPROCS(0), 8)
	jobs, order := make(chan job), make(chan job, workers)
	var failure error
	go func() {
		defer close(order)
		defer close(jobs)
		for {
			chunk, err := source.next()
			if err != nil {
				if err != io.EOF {
					failure = err
				}
				return
			}
			j := job{chunk, make(chan T, 1)}
			order <- j
			jobs <- j
		}
	}()
	var working sync.WaitGroup
	for range workers {
		working.Go(func() {
			for j := range jobs {
				result := parse(j.chunk)
				source.release(j.chunk)
				j.done <- result
			}
		})
	}
	for j := range order {
		take(<-j.done)
	}
	working.Wait()
	return failure
}
