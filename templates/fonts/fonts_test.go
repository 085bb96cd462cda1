package fonts

import (
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// reader answers what a font has.
type reader struct {
	font   *sfnt.Font
	buffer sfnt.Buffer
}

func read(t *testing.T, face Face) *reader {
	t.Helper()
	parsed, err := sfnt.Parse(face.Data)
	require.NoError(t, err, face.Name)
	return &reader{font: parsed}
}

func (r *reader) glyph(c rune) sfnt.GlyphIndex {
	index, err := r.font.GlyphIndex(&r.buffer, c)
	if err != nil {
		return 0
	}
	return index
}

func TestFacesAreNamedAsTheirFiles(t *testing.T) {
	for cut := range Cut(Cuts) {
		for _, face := range []Face{cut.Face(), cut.Fallback()} {
			r := read(t, face)
			name, err := r.font.Name(&r.buffer, sfnt.NameIDPostScript)
			require.NoError(t, err)
			assert.Equal(t, name, face.Name)
		}
	}
}

func TestFacesHaveTheCharactersOfTheTrade(t *testing.T) {
	for cut := range Cut(Cuts) {
		r := read(t, cut.Face())
		for _, c := range "µΩ√±≤≥×÷−–—…→Φσ²³°·†‡•%‰αβγ√∞≈≠" {
			assert.NotZero(t, r.glyph(c), "%s lacks %q (U+%04X)", cut.Face().Name, c, c)
		}
	}
}

func TestFiguresAreOfEqualWidth(t *testing.T) {
	for cut := range Cut(Cuts) {
		for _, face := range []Face{cut.Face(), cut.Fallback()} {
			r := read(t, face)
			widths := map[fixed.Int26_6]bool{}
			for c := '0'; c <= '9'; c++ {
				width, err := r.font.GlyphAdvance(&r.buffer, r.glyph(c), fixed.I(1000), font.HintingNone)
				require.NoError(t, err)
				widths[width] = true
			}
			assert.Len(t, widths, 1, face.Name)
		}
	}
}

func TestEveryLetterOfTheScriptsIsCovered(t *testing.T) {
	scripts := []struct {
		name        string
		first, last rune
	}{
		{"Latin", 0x20, 0x24F}, {"Latin, additional", 0x1E00, 0x1EFF},
		{"Greek", 0x370, 0x3FF}, {"Greek, polytonic", 0x1F00, 0x1FFF},
		{"Cyrillic", 0x400, 0x4FF},
	}
	for cut := range Cut(Cuts) {
		face, fallback := read(t, cut.Face()), read(t, cut.Fallback())
		for _, script := range scripts {
			for c := script.first; c <= script.last; c++ {
				if !unicode.IsLetter(c) || rare[c] {
					continue
				}
				covered := face.glyph(c) != 0 || fallback.glyph(c) != 0
				assert.True(t, covered, "%s: no glyph for %q (U+%04X)", script.name, c, c)
			}
		}
	}
}

// rare are letters of medieval manuscripts that neither family has.
var rare = map[rune]bool{
	0x37F: true, 0x1EFA: true, 0x1EFB: true, 0x1EFC: true, 0x1EFD: true, 0x1EFE: true, 0x1EFF: true,
}
