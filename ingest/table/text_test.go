package table_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
)

// numbered is a row as the tests compare it.
type numbered struct {
	number int
	cells  []string
	fault  string
}

// readAll reads every row behind a row, through chunks.
func readAll(t *testing.T, source table.Source, entry table.Entry, delimiter rune, after int) []numbered {
	t.Helper()
	f, err := table.Open(source, entry)
	require.NoError(t, err)
	defer f.Close()
	var rows []numbered
	require.NoError(t, table.Read(f, delimiter, after, rowsOf, func(some []numbered) { rows = append(rows, some...) }))
	return rows
}

func rowsOf(c *table.Chunk) []numbered {
	var rows []numbered
	for c.Next() {
		row := numbered{number: c.Row().Number, fault: c.Row().Fault.String()}
		for _, cell := range c.Row().Cells {
			row.cells = append(row.cells, table.Text(cell))
		}
		rows = append(rows, row)
	}
	return rows
}

func TestRowsOfTexts(t *testing.T) {
	wide := func(text string, little bool) []byte {
		var b []byte
		for _, u := range utf16.Encode([]rune(text)) {
			if little {
				b = append(b, byte(u), byte(u>>8))
			} else {
				b = append(b, byte(u>>8), byte(u))
			}
		}
		return b
	}
	tests := []struct {
		name      string
		data      []byte
		delimiter rune
		encoding  string
		want      []numbered
	}{
		{"plain", []byte("a,b\n1,2\n"), ',', "UTF-8", []numbered{{1, []string{"a", "b"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"no last line end", []byte("a,b\n1,2"), ',', "UTF-8", []numbered{{1, []string{"a", "b"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"carriage returns and line feeds", []byte("a;b\r\n1;2\r\n"), ';', "UTF-8", []numbered{{1, []string{"a", "b"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"carriage returns alone", []byte("a\tb\r1\t2\r"), '\t', "UTF-8", []numbered{{1, []string{"a", "b"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"carriage return doubled", []byte("a,b\r\r\n1,2\r\r\n"), ',', "UTF-8", []numbered{{1, []string{"a", "b"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"empty lines count, and are passed over", []byte("a,b\n\n\r\n1,2\n\n"), ',', "UTF-8", []numbered{{1, []string{"a", "b"}, ""}, {4, []string{"1", "2"}, ""}}},
		{"byte-order mark", []byte("\xEF\xBB\xBFa,b\n"), ',', "UTF-8 with byte-order mark", []numbered{{1, []string{"a", "b"}, ""}}},
		{"UTF-8", []byte("Feldstärke;µ\n"), ';', "UTF-8", []numbered{{1, []string{"Feldstärke", "µ"}, ""}}},
		{"Windows-1252", []byte("Feldst\xE4rke;\xB5V/m\n"), ';', "Windows-1252", []numbered{{1, []string{"Feldstärke", "µV/m"}, ""}}},
		{"UTF-16, little end first", append([]byte{0xFF, 0xFE}, wide("é;b\r\n1;2\r\n", true)...), ';', "UTF-16", []numbered{{1, []string{"é", "b"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"UTF-16, big end first", append([]byte{0xFE, 0xFF}, wide("a;b\n1;2", false)...), ';', "UTF-16", []numbered{{1, []string{"a", "b"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"UTF-16 without a mark", wide("Time;Field\n1;2\n", true), ';', "UTF-16", []numbered{{1, []string{"Time", "Field"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"blanks around cells", []byte(" a \t, b\n"), ',', "UTF-8", []numbered{{1, []string{"a", "b"}, ""}}},
		{"quotes", []byte("\"a, b\",\"say \"\"x\"\"\",c\n"), ',', "UTF-8", []numbered{{1, []string{"a, b", `say "x"`, "c"}, ""}}},
		{"text behind a closing quote", []byte("\"a\"b,c\n"), ',', "UTF-8", []numbered{{1, []string{"ab", "c"}, ""}}},
		{"a quote within a cell", []byte("5\" rod,c\n1,2\n"), ',', "UTF-8", []numbered{{1, []string{`5" rod`, "c"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"a quoted line end is one row", []byte("a,\"two\nlines\"\n1,2\n"), ',', "UTF-8", []numbered{{1, []string{"a", "two lines"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"a quote that is never closed", []byte("a,\"b\n1,2\n"), ',', "UTF-8",
			[]numbered{{1, []string{"a", `"b`}, "a quotation mark is opened and never closed"}, {2, []string{"1", "2"}, ""}}},
		{"a delimiter outside ASCII", []byte("a¦b\n1¦2\n"), '¦', "UTF-8", []numbered{{1, []string{"a", "b"}, ""}, {2, []string{"1", "2"}, ""}}},
		{"trailing delimiters", []byte("a,b,\n1,2,\n"), ',', "UTF-8", []numbered{{1, []string{"a", "b", ""}, ""}, {2, []string{"1", "2", ""}, ""}}},
		{"control characters", []byte("a\x1b[31m,b\u202e\x07\n"), ',', "UTF-8", []numbered{{1, []string{"a [31m", "b"}, ""}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			source := table.Bytes("log.csv", test.data)
			assert.Equal(t, test.want, readAll(t, source, table.Entry{}, test.delimiter, 0))
			f, err := table.Open(source, table.Entry{})
			require.NoError(t, err)
			defer f.Close()
			assert.Equal(t, test.encoding, f.Encoding())
			head := f.Head(test.delimiter)
			require.Len(t, head, len(test.want))
			for i, row := range head {
				assert.Equal(t, test.want[i].number, row.Number)
			}
		})
	}
}

// TestRowNumbersOverChunks holds the rows that come through chunks, quoted line
// ends among them, against those that a single loop gives.
func TestRowNumbersOverChunks(t *testing.T) {
	for _, lineEnd := range []string{"\n", "\r\n", "\r"} {
		for _, quoted := range []bool{false, true} {
			var b strings.Builder
			var want []numbered
			for i := 1; b.Len() < 5<<20; i++ {
				cell := strings.Repeat("x", i%97)
				if quoted && i%50_000 == 7 {
					fmt.Fprintf(&b, "%d;\"%s%sy\"%s", i, cell, lineEnd, lineEnd)
					cell += strings.Repeat(" ", len(lineEnd)) + "y"
				} else {
					fmt.Fprintf(&b, "%d;%s%s", i, cell, lineEnd)
				}
				want = append(want, numbered{i, []string{fmt.Sprint(i), cell}, ""})
			}
			got := readAll(t, table.Bytes("log.csv", []byte(b.String())), table.Entry{}, ';', 3)
			require.Equal(t, len(want)-3, len(got), "line end %q, quoted %v", lineEnd, quoted)
			for i := range got {
				require.Equal(t, want[i+3], got[i], "line end %q, quoted %v", lineEnd, quoted)
			}
		}
	}
}

// endless is a source of any size that takes no memory.
type endless struct {
	pattern string
	size    int64
	broken  error
}

func (e endless) Name() string { return "probe/endless.csv" }
func (e endless) Size() int64  { return e.size }
func (e endless) Open() (io.ReadCloser, error) {
	return io.NopCloser(io.MultiReader(io.LimitReader(&repeating{pattern: e.pattern}, e.size), failing{e.broken})), nil
}

type repeating struct {
	pattern string
	at      int
}

func (r *repeating) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = r.pattern[r.at%len(r.pattern)]
		r.at++
	}
	return len(p), nil
}

type failing struct{ err error }

func (f failing) Read([]byte) (int, error) {
	if f.err == nil {
		return 0, io.EOF
	}
	return 0, f.err
}

func TestLongLines(t *testing.T) {
	t.Run("a line of 2 GB is refused at once", func(t *testing.T) {
		f, err := table.Open(endless{pattern: "1,2,", size: 2 << 30}, table.Entry{})
		require.NoError(t, err)
		defer f.Close()
		err = table.Read(f, ',', 0, rowsOf, func([]numbered) {})
		message := only(t, err)
		assert.Equal(t, place.Place{File: "probe/endless.csv", Row: 1}, message.Place)
		assert.Equal(t, "the row is longer than any row of a table", message.What())
	})
	t.Run("zero bytes behind the last row are one row", func(t *testing.T) {
		data := append([]byte("a,b\n1,2\n"), make([]byte, 5<<20)...)
		rows := readAll(t, table.Bytes("log.csv", data), table.Entry{}, ',', 0)
		require.Len(t, rows, 3)
		assert.Equal(t, 3, rows[2].number)
	})
	t.Run("zero bytes within are passed over in bounded memory", func(t *testing.T) {
		data := append([]byte("a,b\n1,2\n"), make([]byte, 5<<20)...)
		rows := readAll(t, table.Bytes("log.csv", append(data, "3,4\n5,6\n"...)), table.Entry{}, ',', 0)
		require.Len(t, rows, 4)
		assert.Equal(t, numbered{4, []string{"5", "6"}, ""}, rows[3])
	})
}

func TestReadErrors(t *testing.T) {
	source := endless{pattern: "1,2\n", size: 3 << 20, broken: errors.New("the disk is gone")}
	f, err := table.Open(source, table.Entry{})
	require.NoError(t, err)
	defer f.Close()
	rows := 0
	err = table.Read(f, ',', 0, rowsOf, func(some []numbered) { rows += len(some) })
	assert.Equal(t, "the file cannot be read: the disk is gone", only(t, err).What())
	assert.Greater(t, rows, 1000, "what came before the error was handed on")
}

// only returns the single message of an error.
func only(t *testing.T, err error) place.Message {
	t.Helper()
	var told *place.Error
	require.ErrorAs(t, err, &told)
	require.Len(t, told.Messages, 1)
	return told.Messages[0]
}

func TestRefusedFiles(t *testing.T) {
	wide := func(text string) string {
		var b strings.Builder
		for _, c := range []byte(text) {
			b.WriteByte(c)
			b.WriteByte(0)
		}
		return b.String()
	}
	const old = "\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1"
	tests := []struct{ name, data, what string }{
		{"empty", "", "the file is empty"},
		{"blanks only", " \r\n\t\n", "the file is empty"},
		{"a byte-order mark only", "\xEF\xBB\xBF", "the file is empty"},
		{"zero bytes only", strings.Repeat("\x00", 600), "the file holds nothing but zero bytes"},
		{"old workbook", old + strings.Repeat("\x00", 1000) + wide("Workbook"), "the file is a workbook of the old binary kind, .xls"},
		{"protected workbook", old + strings.Repeat("\x00", 1000) + wide("EncryptedPackage"), "the workbook is protected by a password"},
		{"PDF", "%PDF-1.7\n1 0 obj", "the file is a PDF document, which holds pages and no table"},
		{"gzip", "\x1F\x8B\x08\x00", "the file is compressed"},
		{"picture", "\xFF\xD8\xFF\xE0\x00\x10JFIF", "the file is a picture"},
		{"rich text", `{\rtf1\ansi`, "the file is a formatted document"},
		{"binary", "\x01\x02\x03\x04Time,Field\n" + strings.Repeat("\x05\x06", 20), "the file is not a text"},
		{"cut archive", "PK\x03\x04 and no more", "the workbook is cut off or damaged: zip: not a valid zip file"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := table.Open(table.Bytes("power/h1.xls", []byte(test.data)), table.Entry{})
			message := only(t, err)
			assert.Equal(t, test.what, message.What())
			assert.Equal(t, "power/h1.xls", message.Place.File)
			assert.NotEmpty(t, message.Hint())
		})
	}
}

func TestShown(t *testing.T) {
	assert.Equal(t, "“12,3x”", table.Shown([]byte("12,3x")))
	assert.Equal(t, "“a b”", table.Shown([]byte("a\x1bb")))
	long := table.Shown(bytes.Repeat([]byte("ä"), 500))
	assert.Len(t, []rune(long), 63, "sixty letters, the dots and the quotes")
}

func TestColumnLetter(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		assert.Equal(t, want, table.ColumnLetter(i))
	}
}
