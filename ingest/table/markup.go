package table

import (
	"errors"

	"fieldheld/templates/wording"
)

// Bounds on what the XML of a workbook may hold, so that no file can claim more
// time and memory than a log of a test day is worth. The library that gives the
// cells keeps strings, styles and names in memory, whatever their number.
const (
	mostDepth    = 64       // elements within elements
	mostText     = 1 << 20  // bytes between two tags; a cell holds 32,767 characters
	mostCells    = 24 << 20 // elements of sheets and strings together: some 8 million cells
	mostStrings  = 4 << 20  // elements of the shared strings
	mostRecords  = 1 << 19  // elements of everything else together: styles, names, relations
	mostRatio    = 200      // unpacked size over packed size,
	ratioCounts  = 64 << 20 // of workbooks that unpack to more than this
	mostOfString = 128 << 20
)

// markupScan counts the elements of a part as it passes, their depth and the
// longest text between two tags. Comments and literal sections are texts.
type markupScan struct {
	elements int
	depth    int
	deepest  int
	text     int // bytes since the last tag
	longest  int
	state    markupState
	quote    byte   // that an attribute began with, 0 outside of one
	opening  []byte // the first bytes of a tag
	tail     [3]byte
}

// markupState is where in the markup the next byte stands.
type markupState int

const (
	inText markupState = iota
	inTag
	inComment // until -->
	inLiteral // until ]]>
)

// Write looks at the next piece of the part. It never fails.
func (m *markupScan) Write(p []byte) (int, error) {
	for _, b := range p {
		switch m.state {
		case inText:
			if b == '<' {
				m.state, m.quote, m.opening = inTag, 0, m.opening[:0]
				m.longest, m.text = max(m.longest, m.text), 0
			} else {
				m.text++
			}
		case inTag:
			m.tagByte(b)
		case inComment, inLiteral:
			m.text++
			end := [3]byte{'-', '-', '>'}
			if m.state == inLiteral {
				end = [3]byte{']', ']', '>'}
			}
			if m.tail[1] == end[0] && m.tail[2] == end[1] && b == end[2] {
				m.state = inText
			}
		}
		m.tail = [3]byte{m.tail[1], m.tail[2], b}
	}
	m.longest = max(m.longest, m.text)
	return len(p), nil
}

// tagByte takes the next byte of a tag.
func (m *markupScan) tagByte(b byte) {
	const literal = "![CDATA["
	if len(m.opening) < len(literal) {
		m.opening = append(m.opening, b)
		switch string(m.opening) {
		case "!--":
			m.state = inComment
			return
		case literal:
			m.state = inLiteral
			return
		}
	}
	switch {
	case m.quote != 0:
		if b == m.quote {
			m.quote = 0
		}
	case b == '"' || b == '\'':
		m.quote = b
	case b == '>':
		m.state = inText
		m.endTag()
	}
}

// endTag counts a tag that is closed.
func (m *markupScan) endTag() {
	switch m.opening[0] {
	case '/':
		m.depth--
	case '?', '!', '>':
	default:
		m.elements++
		if m.tail[2] == '/' {
			m.deepest = max(m.deepest, m.depth+1)
			return
		}
		m.depth++
		m.deepest = max(m.deepest, m.depth)
	}
}

// errTooMuch is the reason against a part that holds more than it may.
type errTooMuch struct{ what wording.Text }

func (e errTooMuch) Error() string { return e.what.String() }

// markupCount adds up what the parts of a workbook hold.
type markupCount struct{ cells, strings, records int }

// add takes a part into account and reports which bound it breaks.
func (c *markupCount) add(name string, cells bool, m *markupScan) error {
	switch {
	case m.deepest > mostDepth:
		return errTooMuch{wording.Say("workbook.deep", wording.Values{"found": m.deepest, "most": mostDepth})}
	case m.longest > mostText:
		return errTooMuch{wording.Say("workbook.long-text", wording.Values{"found": m.longest})}
	}
	if name == "xl/sharedstrings.xml" {
		if c.strings += m.elements; c.strings > mostStrings {
			return errTooMuch{wording.Say("workbook.many-strings", wording.Values{"most": mostStrings / 2})}
		}
	}
	if cells {
		if c.cells += m.elements; c.cells > mostCells {
			return errTooMuch{wording.Say("workbook.many-cells", wording.Values{"most": mostCells})}
		}
	} else if c.records += m.elements; c.records > mostRecords {
		return errTooMuch{wording.Say("workbook.many-records", wording.Values{"most": mostRecords})}
	}
	return nil
}

func asTooMuch(err error) (wording.Text, bool) {
	var e errTooMuch
	if errors.As(err, &e) {
		return e.what, true
	}
	return wording.Text{}, false
}
