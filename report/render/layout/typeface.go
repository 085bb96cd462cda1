package layout

import (
	"fmt"
	"sort"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"fieldheld/templates/fonts"
)

// typeface measures text in one cut, and knows which of its two fonts has the
// letters of a word.
type typeface struct {
	primary, fallback *measured
}

// measured is one font with the widths that were asked for.
type measured struct {
	face    fonts.Face
	font    *sfnt.Font
	buffer  sfnt.Buffer
	common  [0x250]float32 // thousandths of the size; 0 not asked for, negative no glyph
	further map[rune]float32
}

// Typefaces are the cuts of the family in which documents are set. They measure
// texts, and note the characters that no font has.
type Typefaces struct {
	cuts    [fonts.Cuts]*typeface
	loaded  map[string]*measured
	missing map[rune]string // a text in which the character stands
}

// NewTypefaces reads the fonts that are built into the program.
func NewTypefaces() (*Typefaces, error) {
	t := &Typefaces{loaded: map[string]*measured{}, missing: map[rune]string{}}
	for cut := range fonts.Cut(fonts.Cuts) {
		primary, err := t.load(cut.Face())
		if err != nil {
			return nil, err
		}
		fallback, err := t.load(cut.Fallback())
		if err != nil {
			return nil, err
		}
		t.cuts[cut] = &typeface{primary, fallback}
	}
	return t, nil
}

func (t *Typefaces) load(face fonts.Face) (*measured, error) {
	if m := t.loaded[face.Name]; m != nil {
		return m, nil
	}
	parsed, err := sfnt.Parse(face.Data)
	if err != nil {
		return nil, fmt.Errorf("read the font %s: %w", face.Name, err)
	}
	m := &measured{face: face, font: parsed, further: map[rune]float32{}}
	t.loaded[face.Name] = m
	return m, nil
}

// advance returns the width of a character in thousandths of the size, or a
// negative number where the font has no glyph for it.
func (m *measured) advance(c rune) float32 {
	if c < rune(len(m.common)) {
		if m.common[c] == 0 {
			m.common[c] = m.measure(c)
		}
		return m.common[c]
	}
	width, known := m.further[c]
	if !known {
		width = m.measure(c)
		m.further[c] = width
	}
	return width
}

func (m *measured) measure(c rune) float32 {
	const none = -1
	if c > 0xFFFF { // the PDF library cannot set them
		return none
	}
	glyph, err := m.font.GlyphIndex(&m.buffer, c)
	if err != nil || glyph == 0 {
		return none
	}
	width, err := m.font.GlyphAdvance(&m.buffer, glyph, fixed.I(1000), font.HintingNone)
	if err != nil {
		return none
	}
	return float32(width) / 64
}

// piece is a part of a text that one font can set.
type piece struct {
	font  *measured
	text  string
	width float64 // thousandths of the size
}

// width returns how wide a text is in a style, in points.
func (t *Typefaces) width(s Style, text string) float64 {
	face := t.cuts[s.Cut]
	sum := float32(0)
	for _, c := range text {
		w := face.primary.advance(c)
		if w < 0 { // rare: measure by pieces
			total := 0.0
			for _, p := range t.pieces(s, text) {
				total += p.width
			}
			return total * s.Size / 1000
		}
		sum += w
	}
	return float64(sum) * s.Size / 1000
}

// pieces cuts a text into parts of one font each. A word with a letter that the
// family lacks is set in the fallback as a whole. A character that neither font
// has is noted and left out (see MissingGlyphs).
func (t *Typefaces) pieces(s Style, text string) []piece {
	face := t.cuts[s.Cut]
	var all []piece
	add := func(m *measured, c rune, width float32) {
		if n := len(all); n > 0 && all[n-1].font == m {
			all[n-1].text += string(c)
			all[n-1].width += float64(width)
			return
		}
		all = append(all, piece{m, string(c), float64(width)})
	}
	for _, word := range words(text) {
		m := face.primary
		for _, c := range word {
			if face.primary.advance(c) < 0 && face.fallback.advance(c) >= 0 {
				m = face.fallback
			}
		}
		for _, c := range word {
			from := m
			if from.advance(c) < 0 {
				from = face.primary
			}
			if w := from.advance(c); w >= 0 {
				add(from, c, w)
			} else if _, known := t.missing[c]; !known {
				t.missing[c] = text
			}
		}
	}
	return all
}

// words cuts a text before and after each run of blanks; nothing is lost.
func words(text string) []string {
	var all []string
	begin, blank := 0, false
	for i, c := range text {
		if is := c == ' '; is != blank && i > begin {
			all = append(all, text[begin:i])
			begin = i
			blank = is
		} else {
			blank = is
		}
	}
	if begin < len(text) {
		all = append(all, text[begin:])
	}
	return all
}

// MissingGlyph is a character that no font has.
type MissingGlyph struct {
	Character rune
	Text      string // the first text in which it stood
}

// MissingGlyphs returns the characters of all texts so far that no font has, in order
// of their code. They were left out, so that a document with one is not whole.
func (t *Typefaces) MissingGlyphs() []MissingGlyph {
	var all []MissingGlyph
	for c, text := range t.missing {
		all = append(all, MissingGlyph{c, text})
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Character < all[j].Character })
	return all
}

// FontNames are the PostScript names of all fonts in which a document may be set.
func FontNames() []string {
	var names []string
	for cut := range fonts.Cut(fonts.Cuts) {
		names = append(names, cut.Face().Name)
	}
	return append(names, fonts.Regular.Fallback().Name, fonts.Bold.Fallback().Name)
}
