package table

import (
	"bytes"
	"strings"
	"unicode"
	"unicode/utf8"

	"fieldheld/templates/wording"

	"golang.org/x/text/encoding/charmap"
)

// Row is one row of a table. Its bytes are only valid until the next row is
// taken from the same Chunk.
type Row struct {
	Number    int          // as a spreadsheet counts: the first line is row 1
	Cells     [][]byte     // trimmed of blanks and of quotes around them
	Line      []byte       // the row as it stands in a text; nil in a workbook
	NoLineEnd bool         // the file ends here, without the line end that its other rows have
	Fault     wording.Text // why the row cannot be trusted as a whole; nothing when it can
}

// Cell returns the cell of column i, or nothing where the row is shorter.
func (r *Row) Cell(i int) []byte {
	if i < 0 || i >= len(r.Cells) {
		return nil
	}
	return r.Cells[i]
}

// Empty reports whether no cell of the row holds anything.
func (r *Row) Empty() bool {
	for _, c := range r.Cells {
		if len(c) > 0 {
			return false
		}
	}
	return true
}

// Comment reports whether the row is a remark: its first cell begins with #. The
// error values that spreadsheets write so, #N/A or #DIV/0!, are none, nor is a
// number that was too wide for its cell.
func (r *Row) Comment() bool {
	return len(r.Cells) > 0 && len(r.Cells[0]) > 0 && r.Cells[0][0] == '#' && !errorValue(r.Cells[0])
}

func errorValue(cell []byte) bool {
	if len(cell) < 3 {
		return false
	}
	for _, b := range cell[1:] {
		if (b < 'A' || b > 'Z') && bytes.IndexByte([]byte("/0!?#"), b) < 0 {
			return false
		}
	}
	return true
}

// SameCells reports whether two rows hold the same texts; blank cells at the
// end do not count.
func SameCells(a, b [][]byte) bool {
	a, b = withoutBlankEnd(a), withoutBlankEnd(b)
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if !bytes.Equal(a[i], b[i]) {
			return false
		}
	}
	return true
}

func withoutBlankEnd(cells [][]byte) [][]byte {
	for len(cells) > 0 && len(cells[len(cells)-1]) == 0 {
		cells = cells[:len(cells)-1]
	}
	return cells
}

// Clone copies the row, so that it outlives its chunk.
func (r *Row) Clone() Row {
	cells := make([][]byte, len(r.Cells))
	for i, c := range r.Cells {
		cells[i] = bytes.Clone(c)
	}
	return Row{Number: r.Number, Cells: cells, Line: bytes.Clone(r.Line), NoLineEnd: r.NoLineEnd, Fault: r.Fault}
}

// Text returns a cell as text: UTF-8, or Windows-1252 where it is not valid
// UTF-8. Control characters and invisible direction marks become blanks, so
// that nothing from a file can steer a terminal or hide in a report.
func Text(cell []byte) string {
	if plain(cell) {
		return string(cell)
	}
	text := string(cell)
	if !utf8.Valid(cell) {
		decoded, err := charmap.Windows1252.NewDecoder().Bytes(cell)
		if err != nil {
			decoded = bytes.ToValidUTF8(cell, []byte("?"))
		}
		text = string(decoded)
	}
	return Clean(text)
}

// Clean replaces control characters and invisible direction marks by blanks
// and the mark of an unreadable character by a question mark.
func Clean(text string) string {
	return strings.TrimSpace(strings.Map(func(r rune) rune {
		switch {
		case r == utf8.RuneError:
			return '?'
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r), unicode.Is(unicode.Zl, r), unicode.Is(unicode.Zp, r):
			return ' '
		}
		return r
	}, text))
}

// plain reports whether the cell is printable ASCII.
func plain(cell []byte) bool {
	for _, b := range cell {
		if b < ' ' || b > '~' {
			return false
		}
	}
	return true
}

// Shown returns a cell in quotes for a message, cut where it is long.
func Shown(cell []byte) string {
	text := Text(cell)
	const most = 60
	if utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most]) + "…"
	}
	return "“" + text + "”"
}

// ColumnLetter returns the letter of column i (from 0) as spreadsheets name it.
func ColumnLetter(i int) string {
	name := ""
	for i++; i > 0; i = (i - 1) / 26 {
		name = string(rune('A'+(i-1)%26)) + name
	}
	return name
}
