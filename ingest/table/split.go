package table

import (
	"bytes"
	"unicode/utf8"
)

// Cells parts a line of a text into its cells, as the rows of a Chunk are.
func Cells(line []byte, delimiter rune) [][]byte {
	cells, _ := split(line, delimiter, nil)
	return cells
}

// split appends the cells of a line to cells. A cell that begins with a quote
// ends at its closing quote; doubled quotes inside stand for one. The second
// result is false where a quote is opened and never closed.
func split(line []byte, delimiter rune, cells [][]byte) ([][]byte, bool) {
	if delimiter >= utf8.RuneSelf || bytes.IndexByte(line, '"') >= 0 {
		return splitQuoted(line, []byte(string(delimiter)), cells)
	}
	d, from := byte(delimiter), 0
	for i, b := range line {
		if b == d {
			cells = append(cells, trim(line[from:i]))
			from = i + 1
		}
	}
	return append(cells, trim(line[from:])), true
}

// splitQuoted is split for lines with quotes or a delimiter outside ASCII.
func splitQuoted(line, delimiter []byte, cells [][]byte) ([][]byte, bool) {
	for {
		rest := bytes.TrimLeft(line, " ")
		if len(rest) > 0 && rest[0] == '"' {
			cell, after, ok := unquote(rest[1:])
			if !ok {
				return append(cells, trim(rest)), false
			}
			next := bytes.Index(after, delimiter)
			if tail := after; next >= 0 {
				tail = after[:next]
				cell = joinTail(cell, tail)
			} else {
				return append(cells, trim(joinTail(cell, tail))), true
			}
			cells = append(cells, trim(cell))
			line = after[next+len(delimiter):]
			continue
		}
		next := bytes.Index(line, delimiter)
		if next < 0 {
			return append(cells, trim(line)), true
		}
		cells = append(cells, trim(line[:next]))
		line = line[next+len(delimiter):]
	}
}

// joinTail puts back what stands between a closing quote and the delimiter,
// which is nothing in an orderly file.
func joinTail(cell, tail []byte) []byte {
	if tail = trim(tail); len(tail) == 0 {
		return cell
	}
	return append(bytes.Clone(cell), tail...)
}

// unquote returns what stands before the closing quote, and what follows it.
func unquote(s []byte) (cell, after []byte, closed bool) {
	end := bytes.IndexByte(s, '"')
	if end < 0 {
		return nil, nil, false
	}
	if end+1 >= len(s) || s[end+1] != '"' {
		return s[:end], s[end+1:], true
	}
	for i := 0; i < len(s); i++ {
		if s[i] == '"' {
			if i+1 < len(s) && s[i+1] == '"' {
				i++
			} else {
				return cell, s[i+1:], true
			}
		}
		cell = append(cell, s[i])
	}
	return nil, nil, false
}

// trim cuts blanks and tabs from both ends, which is rarely needed.
func trim(cell []byte) []byte {
	if n := len(cell); n == 0 || cell[0] > ' ' && cell[n-1] > ' ' {
		return cell
	}
	return bytes.Trim(cell, " \t\r\v\f")
}

// mostQuoted is how many bytes a quoted cell may span over several lines. A
// quote that is not closed by then is taken for a stray one.
const mostQuoted = 64 << 10

// recordEnd returns where the first row of data ends, line end included. A
// quoted cell may hold line ends. The second result is false where data stops
// before the row does; with final set the row then ends with its first line.
func recordEnd(data []byte, delimiter []byte, lineEnd byte, final bool) (int, bool) {
	for i := 0; ; {
		for i < len(data) && data[i] == ' ' {
			i++
		}
		if i < len(data) && data[i] == '"' {
			_, after, closed := unquote(data[i+1 : min(len(data), i+1+mostQuoted)])
			if !closed {
				if !final && len(data)-i <= mostQuoted {
					return 0, false
				}
				return firstLine(data, lineEnd), true
			}
			i = min(len(data), i+1+mostQuoted) - len(after)
		}
		line := bytes.IndexByte(data[i:], lineEnd)
		end := len(data)
		if line >= 0 {
			end = i + line // not beyond: a text of lines without any would be gone through for each
		}
		next := bytes.Index(data[i:end], delimiter)
		switch {
		case line < 0 && !final:
			return 0, false
		case line >= 0 && next < 0:
			return i + line + 1, true
		case next < 0:
			return len(data), true
		}
		i += next + len(delimiter)
	}
}

// firstLine returns where the first line of data ends, line end included.
func firstLine(data []byte, lineEnd byte) int {
	if end := bytes.IndexByte(data, lineEnd); end >= 0 {
		return end + 1
	}
	return len(data)
}
