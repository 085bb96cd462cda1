package table

import (
	"bytes"
	"errors"
	"io"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// headSize is how much of a text is looked at to find out how it is written.
const headSize = 256 << 10

// headRows is how many rows of a table its beginning holds at most.
const headRows = 1000

// File is an opened table: a delimited text, or one sheet of a workbook.
type File struct {
	entry Entry
	size  int64
	text  *text
	book  *workbook
}

// text is what is known of a delimited text.
type text struct {
	name     string
	stream   io.ReadCloser
	rest     io.Reader // UTF-8 or one byte a character, behind head
	head     []byte
	whole    bool // head is all of it
	lineEnd  byte
	encoding string
}

// Open finds out what kind of file the source is and reads its beginning. The
// entry says where the job sheet names it and which sheet is meant.
func Open(src Source, entry Entry) (*File, error) {
	where := place.Place{File: src.Name()}
	if src.Size() == 0 {
		return nil, emptyFile(where)
	}
	stream, err := src.Open()
	if err != nil {
		return nil, readError(where, err)
	}
	head, whole, err := readHead(stream)
	if err != nil {
		stream.Close()
		return nil, readError(where, err)
	}
	f, err := open(src, entry, stream, head, whole)
	if err != nil {
		stream.Close()
		return nil, err
	}
	return f, nil
}

func open(src Source, entry Entry, stream io.ReadCloser, head []byte, whole bool) (*File, error) {
	where := place.Place{File: src.Name()}
	if len(head) == 0 {
		return nil, emptyFile(where)
	}
	if bytes.HasPrefix(head, []byte("PK\x03\x04")) {
		book, err := openWorkbook(src, entry, io.MultiReader(bytes.NewReader(head), stream))
		if err != nil {
			return nil, err
		}
		return &File{entry: entry, size: src.Size(), book: book}, stream.Close()
	}
	if err := refuse(where, head); err != nil {
		return nil, err
	}
	t := &text{name: src.Name(), stream: stream}
	if err := t.decode(head, whole); err != nil {
		return nil, readError(where, err)
	}
	if t.whole && len(bytes.TrimSpace(t.head)) == 0 {
		return nil, emptyFile(where)
	}
	if err := refuseBinary(where, t.head); err != nil {
		return nil, err
	}
	return &File{entry: entry, size: src.Size(), text: t}, nil
}

// readHead reads the first bytes of a stream and says whether they are all.
func readHead(r io.Reader) ([]byte, bool, error) {
	head := make([]byte, headSize)
	n, err := io.ReadFull(r, head)
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return head[:n], true, nil
	}
	return head[:n], false, err
}

// decode finds the encoding and the line ends.
func (t *text) decode(head []byte, whole bool) error {
	t.head, t.whole, t.rest = head, whole, t.stream
	switch utf16, order := looksUTF16(head); {
	case utf16:
		t.encoding = "UTF-16"
		decoder := unicode.UTF16(order, unicode.UseBOM).NewDecoder()
		t.rest = transform.NewReader(io.MultiReader(bytes.NewReader(head), t.stream), decoder)
		var err error
		if t.head, t.whole, err = readHead(t.rest); err != nil {
			return err
		}
	case bytes.HasPrefix(head, []byte("\xEF\xBB\xBF")):
		t.encoding, t.head = "UTF-8 with byte-order mark", head[3:]
	case validUTF8(head, whole):
		t.encoding = "UTF-8"
	default:
		t.encoding = "Windows-1252"
	}
	t.lineEnd = '\n'
	if bytes.IndexByte(t.head, '\n') < 0 && bytes.IndexByte(t.head, '\r') >= 0 {
		t.lineEnd = '\r'
	}
	return nil
}

// looksUTF16 reports a byte-order mark of UTF-16, or the zero bytes of Latin
// text in it.
func looksUTF16(head []byte) (bool, unicode.Endianness) {
	switch {
	case bytes.HasPrefix(head, []byte{0xFF, 0xFE}):
		return true, unicode.LittleEndian
	case bytes.HasPrefix(head, []byte{0xFE, 0xFF}):
		return true, unicode.BigEndian
	}
	sample := head[:min(len(head), 512)&^1]
	even, odd := 0, 0
	for i := 0; i < len(sample); i += 2 {
		if sample[i] == 0 {
			even++
		}
		if sample[i+1] == 0 {
			odd++
		}
	}
	half := len(sample) / 2
	switch {
	case half > 1 && odd > half*9/10 && even == 0:
		return true, unicode.LittleEndian
	case half > 1 && even > half*9/10 && odd == 0:
		return true, unicode.BigEndian
	}
	return false, unicode.LittleEndian
}

// validUTF8 allows a character that the end of the head cuts.
func validUTF8(head []byte, whole bool) bool {
	if !whole {
		for cut := 0; cut < utf8.UTFMax && cut < len(head); cut++ {
			if utf8.Valid(head[:len(head)-cut]) {
				return true
			}
		}
	}
	return utf8.Valid(head)
}

// Close frees what reading the table needs. It may be called twice.
func (f *File) Close() error {
	if f.book != nil {
		return f.book.close()
	}
	return f.text.stream.Close()
}

// Workbook reports whether the table is a sheet of a workbook: its numbers are
// binary ones, and numbers in its time columns may be dates.
func (f *File) Workbook() bool { return f.book != nil }

// Size returns the size of the file as its source gives it.
func (f *File) Size() int64 { return f.size }

// TimeCell reports whether a cell of a workbook is formatted as a time of day or
// as a duration. Rows count from 1, columns from 0.
func (f *File) TimeCell(row, column int) bool { return f.book != nil && f.book.timeCell(row, column) }

// Date1904 reports whether the workbook counts its dates from 1904.
func (f *File) Date1904() bool { return f.book != nil && f.book.date1904 }

// Sheet returns the sheet that is read, or "" for a text.
func (f *File) Sheet() string {
	if f.book == nil {
		return ""
	}
	return f.book.sheet
}

// Sheets lists the sheets of a workbook.
func (f *File) Sheets() []SheetName {
	if f.book == nil {
		return nil
	}
	return f.book.sheets
}

// EncodingWhy says how the encoding was told.
func (f *File) EncodingWhy() string {
	switch f.Encoding() {
	case "UTF-16":
		return "its first bytes"
	case "UTF-8":
		return "every byte of the beginning fits it"
	case "Windows-1252":
		return "not every byte fits UTF-8"
	}
	return ""
}

// Encoding names the encoding of a text, "workbook" for a workbook.
func (f *File) Encoding() string {
	if f.book != nil {
		return "workbook"
	}
	return f.text.encoding
}

// Place returns the place of a row; row 0 is the file or sheet itself.
func (f *File) Place(row int, column string) place.Place {
	p := place.Place{Row: row, Column: column, Sheet: f.Sheet()}
	if f.book != nil {
		p.File = f.book.name
	} else {
		p.File = f.text.name
	}
	return p
}

// Delimiters lists the characters that may part the cells, the likeliest first.
func (f *File) Delimiters() []rune {
	switch {
	case f.book != nil:
		return []rune{0}
	case f.entry.Delimiter != 0:
		return []rune{f.entry.Delimiter}
	}
	return []rune{';', '\t', ',', '|'}
}

// Head returns the first rows as the delimiter parts them.
func (f *File) Head(delimiter rune) []Row {
	if f.book != nil {
		return f.book.head
	}
	head := f.text.head
	if !f.text.whole {
		head = head[:bytes.LastIndexByte(head, f.text.lineEnd)+1]
	}
	cut := textChunks{stream: bytes.NewReader(head), size: len(head), delimiter: delimiter, lineEnd: f.text.lineEnd}
	chunk, err := cut.next()
	if err != nil {
		return nil
	}
	var rows []Row
	for len(rows) < headRows && chunk.Next() {
		rows = append(rows, chunk.Row().Clone())
	}
	return rows
}

// chunks starts the one pass over the table.
func (f *File) chunks(delimiter rune, after int) chunks {
	if f.book != nil {
		return &sheetChunks{book: f.book, after: after}
	}
	short := 0
	if f.text.whole {
		short = len(f.text.head)
	}
	return &textChunks{
		where:     f.Place(0, ""),
		size:      short,
		stream:    io.MultiReader(bytes.NewReader(f.text.head), f.text.rest),
		delimiter: delimiter, lineEnd: f.text.lineEnd, after: after,
	}
}

func emptyFile(where place.Place) error {
	return place.NewError(where, wording.Say("table.empty", nil))
}

func readError(where place.Place, err error) error {
	var told *place.Error
	if errors.As(err, &told) {
		return err
	}
	return place.NewError(where, wording.Say("table.unreadable", wording.Values{"error": Clean(err.Error())}))
}

func longRow(where place.Place, row int) error {
	where.Row = row
	return place.NewError(where, wording.Say("table.long-row", wording.Values{"bytes": chunkSize}))
}
