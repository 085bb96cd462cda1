package record

import (
	"strings"
	"sync"

	"fieldheld/ingest/notation"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/spelling"
	"fieldheld/ingest/table"
)

// heading is one cell of a header row, parted into name and unit.
type heading struct {
	text   string // as the file writes it
	name   string // folded, without unit and remark
	unit   string // as the file writes it, "" where there is none
	remark string // what else stands in brackets: a zone, a wrong unit
}

// vocabulary is the folded names of columns.
type vocabulary map[string]table.Column

var headerWords = sync.OnceValue(func() vocabulary {
	known := vocabulary{}
	for _, line := range words {
		known.add(line.column, line.names)
	}
	return known
})

var registerHeaderWords = sync.OnceValue(func() vocabulary {
	known := vocabulary{}
	for _, line := range registerWords {
		known.add(line.column, line.names)
	}
	return known
})

func (v vocabulary) add(column table.Column, names []string) {
	for _, name := range names {
		v[spelling.Fold(name)] = column
	}
}

func (v vocabulary) has(name string) bool {
	_, ok := v[spelling.Fold(name)]
	return ok
}

// heading parts the cell of a header: the unit stands in brackets, after a
// comma, or, behind a word of the vocabulary, after a slash, "in" or a blank.
func (v vocabulary) heading(cell []byte) heading {
	h := heading{text: table.Text(cell)}
	rest := h.text
	if quantity.KnownUnit(rest) && !v.has(rest) {
		h.unit = rest // a heading that is nothing but the unit
		return h
	}
	for {
		name, inside, ok := cutBrackets(rest)
		if !ok || v.has(rest) {
			break
		}
		if quantity.KnownUnit(inside) && h.unit == "" {
			h.unit = inside
		} else if h.remark == "" {
			h.remark = inside
		}
		rest = name
	}
	if h.unit == "" && !v.has(rest) {
		rest, h.unit = v.cutUnit(rest)
	}
	if name, zone := v.cutZone(rest); zone != "" && h.remark == "" {
		h.remark, rest = zone, name
	}
	h.name = spelling.Fold(rest)
	if whole := spelling.Fold(h.text); h.unit == "" && v.has(h.text) {
		h.name = whole
	}
	return h
}

// longestUnit is more than any unit takes, in bytes. What stands behind a mark in a row
// that is no table at all may be as long as the row.
const longestUnit = 64

// cutUnit parts a unit that stands without brackets from the name before it.
func (v vocabulary) cutUnit(text string) (name, unit string) {
	for _, mark := range []string{",", ";", " in ", " / ", "/", ":", "_", " "} {
		for at := strings.Index(text, mark); at > 0; {
			name, unit := text[:at], strings.TrimSpace(text[at+len(mark):])
			if len(unit) <= longestUnit && quantity.KnownUnit(unit) && (mark == "," || v.has(name)) {
				return name, unit
			}
			next := strings.Index(text[at+len(mark):], mark)
			if next < 0 {
				break
			}
			at += len(mark) + next
		}
	}
	return text, ""
}

// cutZone parts a zone that stands without brackets before or behind the word for
// a time, as in “UTC time” and “Time EDT”.
func (v vocabulary) cutZone(text string) (name, zone string) {
	words := strings.FieldsFunc(text, func(c rune) bool { return c == ' ' || c == ',' || c == '_' })
	if len(words) < 2 {
		return text, ""
	}
	first, last := words[0], words[len(words)-1]
	for _, try := range []struct{ name, zone string }{
		{strings.TrimSpace(strings.TrimRight(strings.TrimSuffix(text, last), " ,_")), last},
		{strings.TrimSpace(strings.TrimLeft(strings.TrimPrefix(text, first), " ,_")), first},
	} {
		if column, known := v[spelling.Fold(try.name)]; known && ofTimes(column) && notation.SaysZone(try.zone) && (!v.has(text) || notation.ZoneNamed(try.zone) != nil) {
			return try.name, try.zone
		}
	}
	return text, ""
}

// ofTimes reports whether a column holds times or their dates.
func ofTimes(c table.Column) bool {
	switch c {
	case table.Time, table.Date, table.Start, table.End, startDate, endDate:
		return true
	}
	return false
}

// cutBrackets parts what stands in brackets at the end from what stands before.
func cutBrackets(text string) (name, inside string, ok bool) {
	text = strings.TrimSpace(text)
	for _, pair := range []string{"()", "[]", "{}", "<>"} {
		if !strings.HasSuffix(text, pair[1:]) {
			continue
		}
		depth := 0
		for at := len(text) - 1; at >= 0; at-- {
			switch text[at] {
			case pair[1]:
				depth++
			case pair[0]:
				if depth--; depth == 0 {
					inside = strings.TrimSpace(text[at+1 : len(text)-1])
					return strings.TrimSpace(text[:at]), inside, at > 0 && inside != ""
				}
			}
		}
	}
	return text, "", false
}

// bareUnit returns the unit that the cell of a units row holds, or "".
func bareUnit(cell []byte) string {
	text := table.Text(cell)
	if quantity.KnownUnit(text) {
		return text
	}
	for _, pair := range []string{"()", "[]", "{}"} {
		inside, open := strings.CutPrefix(text, pair[:1])
		inside, closed := strings.CutSuffix(inside, pair[1:])
		if open && closed && quantity.KnownUnit(inside) {
			return strings.TrimSpace(inside)
		}
	}
	return ""
}
