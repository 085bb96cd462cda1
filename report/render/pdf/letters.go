package pdf

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"fieldheld/ingest/place"
	"fieldheld/report/render/layout"
)

// clean makes a text of an input ready for setting: letters with accents become
// one character, blanks of any kind become a blank, letters without ink are written
// as their numbers, so that nothing of an input is there unseen.
func clean(text string) string {
	plain := true
	for i := range len(text) {
		if text[i] < ' ' || text[i] >= 0x7F {
			plain = false
			break
		}
	}
	if plain {
		return text
	}
	var b strings.Builder
	for _, c := range norm.NFC.String(text) {
		switch {
		case c == '\n':
			b.WriteRune(c)
		case c == '\u00a0' || c == '\u202f':
			b.WriteRune('\u00a0')
		case unicode.IsSpace(c):
			b.WriteByte(' ')
		default:
			b.WriteString(place.OneLine(string(c)))
		}
	}
	return b.String()
}

// MissingGlyph is a character that no font of the report has.
type MissingGlyph struct {
	Character rune
	Text      string   // a text of the report in which it stands
	Fields    []string // where it comes from
}

// MissingGlyphs is the error of a report that holds characters which the fonts
// lack. Nothing was written.
type MissingGlyphs []MissingGlyph

// Error names each character, its code point and the fields it comes from.
func (m MissingGlyphs) Error() string {
	lines := []string{"the fonts of the report lack characters that it needs:"}
	for _, g := range m {
		where := strings.Join(g.Fields, ", ")
		if where == "" {
			where = "the text " + fmt.Sprintf("%q", g.Text)
		}
		lines = append(lines, fmt.Sprintf("    %q (U+%04X) in %s", g.Character, g.Character, where))
	}
	return strings.Join(append(lines,
		"    to do: write it in Latin, Greek or Cyrillic letters"), "\n")
}

// missingGlyphs returns the characters that the typefaces lack as an error, with the
// fields in which each stands, or nil.
func missingGlyphs(types *layout.Typefaces, fields func(rune) []string) error {
	var all MissingGlyphs
	for _, g := range types.MissingGlyphs() {
		all = append(all, MissingGlyph{Character: g.Character, Text: g.Text, Fields: fields(g.Character)})
	}
	if len(all) == 0 {
		return nil
	}
	return all
}
