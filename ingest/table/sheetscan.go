package table

import (
	"bytes"
	"strconv"

	"fieldheld/templates/wording"
)

// sheetScan looks at the XML of a part of a workbook as it passes: whether it
// is a sheet, the numbers of its rows, and whether it is closed at its end.
//
// The row iterator of the library stops in silence where the XML does. What is
// counted here tells whether it came to the end.
type sheetScan struct {
	part   part
	window []byte // what passed last and was not looked at yet
	begun  bool
	row    int
}

// rowStart is how much XML the start of a row element may take.
const rowStart = 1 << 10

// Write looks at the next piece of the part. It never fails.
func (s *sheetScan) Write(p []byte) (int, error) {
	s.window = append(s.window, p...)
	if len(s.window) > 2*rowStart {
		s.look(len(s.window) - rowStart)
	}
	return len(p), nil
}

// finish looks at what is left and returns what was seen.
func (s *sheetScan) finish() part {
	end := bytes.TrimRight(s.window, " \t\r\n\x00")
	closed := closes(end)
	s.look(len(s.window))
	s.part.lastRow, s.part.ended = s.row, s.part.sheet && closed
	return s.part
}

// closes reports whether the XML ends with the end of a sheet.
func closes(end []byte) bool {
	at := bytes.LastIndexByte(end, '<')
	if at < 0 {
		return false
	}
	name, closed := bytes.CutSuffix(end[at:], []byte(">"))
	name, closing := bytes.CutPrefix(name, []byte("</"))
	return closed && closing && string(localName(bytes.TrimSpace(name))) == "worksheet"
}

// look goes through the row elements that begin before position limit.
func (s *sheetScan) look(limit int) {
	if !s.begun {
		s.begun = true
		s.part.sheet = beginsSheet(s.window[:min(len(s.window), rowStart)])
	}
	if s.part.sheet {
		for at := 0; ; at += len("row") {
			next := bytes.Index(s.window[at:], []byte("row"))
			if next < 0 || at+next >= limit {
				break
			}
			if at += next; s.isRow(at) {
				s.number(s.window[at+len("row"):])
			}
		}
	}
	s.window = append(s.window[:0], s.window[limit:]...)
}

// isRow reports whether the word at the position names a row element.
func (s *sheetScan) isRow(at int) bool {
	after := at + len("row")
	if after >= len(s.window) || bytes.IndexByte([]byte(" \t\r\n/>"), s.window[after]) < 0 {
		return false
	}
	before := at - 1
	if before >= 0 && s.window[before] == ':' {
		for before--; before >= 0 && isNameByte(s.window[before]); before-- {
		}
	}
	return before >= 0 && s.window[before] == '<'
}

// number counts a row, or takes the number that its attribute r gives.
func (s *sheetScan) number(attributes []byte) {
	before := s.row
	s.row++
	if end := bytes.IndexByte(attributes, '>'); end >= 0 {
		attributes = attributes[:end]
	}
	for _, mark := range []string{`r="`, `r='`} {
		at := bytes.Index(attributes, []byte(mark))
		if at <= 0 || bytes.IndexByte([]byte(" \t\r\n"), attributes[at-1]) < 0 {
			continue
		}
		text := attributes[at+len(mark):]
		if end := bytes.IndexByte(text, mark[2]); end >= 0 {
			if n, err := strconv.Atoi(string(text[:end])); err == nil && n > 0 {
				s.row = n
			}
		}
	}
	if s.row <= before && s.part.fault.IsZero() {
		s.part.fault = wording.Say("workbook.rows-out-of-order", wording.Values{"row": s.row, "before": before})
	}
}

// beginsSheet reports whether the first element of the XML is a sheet.
func beginsSheet(xml []byte) bool {
	for at := 0; at < len(xml); at++ {
		if xml[at] != '<' || at+1 < len(xml) && (xml[at+1] == '?' || xml[at+1] == '!') {
			continue
		}
		name := xml[at+1:]
		for end, b := range name {
			if !isNameByte(b) && b != ':' {
				return string(localName(name[:end])) == "worksheet"
			}
		}
	}
	return false
}

// localName cuts the prefix of a name.
func localName(name []byte) []byte {
	if at := bytes.LastIndexByte(name, ':'); at >= 0 {
		return name[at+1:]
	}
	return name
}

func isNameByte(b byte) bool {
	return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9' || b == '_' || b == '-' || b == '.'
}
