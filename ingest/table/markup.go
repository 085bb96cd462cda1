package table

import (
	"errors"
	"fmt"
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
// longest text between two tags.
type markupScan struct {
	elements int
	depth    int
	deepest  int
	text     int // bytes since the last tag
	longest  int
	tag      bool // within a tag
	first    bool // the next byte is the first of a tag
	last     byte
}

// Write looks at the next piece of the part. It never fails.
func (m *markupScan) Write(p []byte) (int, error) {
	for _, b := range p {
		switch {
		case b == '<':
			m.longest = max(m.longest, m.text)
			m.tag, m.first, m.text = true, true, 0
		case m.first:
			m.first = false
			switch b {
			case '/':
				m.depth--
			case '?', '!':
			default:
				m.elements++
				m.depth++
				m.deepest = max(m.deepest, m.depth)
			}
		case b == '>' && m.tag:
			if m.tag = false; m.last == '/' {
				m.depth--
			}
		default:
			m.text++
		}
		m.last = b
	}
	m.longest = max(m.longest, m.text)
	return len(p), nil
}

// errTooMuch is the reason against a part that holds more than it may.
type errTooMuch struct{ what string }

func (e errTooMuch) Error() string { return e.what }

// markupCount adds up what the parts of a workbook hold.
type markupCount struct{ cells, strings, records int }

// add takes a part into account and reports which bound it breaks.
func (c *markupCount) add(name string, cells bool, m *markupScan) error {
	switch {
	case m.deepest > mostDepth:
		return errTooMuch{fmt.Sprintf("elements %d deep; at most %d are read", m.deepest, mostDepth)}
	case m.longest > mostText:
		return errTooMuch{fmt.Sprintf("a text of %d bytes; a cell holds at most 32,767 characters", m.longest)}
	}
	if name == "xl/sharedstrings.xml" {
		if c.strings += m.elements; c.strings > mostStrings {
			return errTooMuch{fmt.Sprintf("more than %d shared strings", mostStrings/2)}
		}
	}
	if cells {
		if c.cells += m.elements; c.cells > mostCells {
			return errTooMuch{fmt.Sprintf("more than %d elements of cells", mostCells)}
		}
	} else if c.records += m.elements; c.records > mostRecords {
		return errTooMuch{fmt.Sprintf("more than %d styles, names and other records", mostRecords)}
	}
	return nil
}

func asTooMuch(err error) (string, bool) {
	var e errTooMuch
	if errors.As(err, &e) {
		return e.what, true
	}
	return "", false
}
