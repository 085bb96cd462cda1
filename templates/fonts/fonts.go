// Package fonts holds the typefaces of the report. They are TrueType files with
// glyph outlines, so that the report can embed the part of each that it uses.
//
// IBM Plex Sans and its condensed cut (SIL Open Font License 1.1) set the
// report: its figures are of equal width without any typographic feature, which
// keeps columns aligned. It covers the languages of Europe but not every letter
// of the Latin, Greek and Cyrillic scripts; words with such a letter are set in
// DejaVu Sans Condensed (free licence of Bitstream Vera, changes in the public
// domain). The licences stand beside the files.
package fonts

import _ "embed" // the font files

// Cut is one design of the family.
type Cut int

// The cuts that the report is set in.
const (
	Regular       Cut = iota // running text
	Bold                     // heads and what has to be seen
	Condensed                // tables and the labels of plots
	CondensedBold            // heads of tables
	Cuts          int = iota
)

// Face is one font file.
type Face struct {
	Name string // PostScript name
	Data []byte // the TrueType file; not to be changed
}

//go:embed IBMPlexSans-Regular.ttf
var regular []byte

//go:embed IBMPlexSans-SemiBold.ttf
var bold []byte

//go:embed IBMPlexSansCondensed-Regular.ttf
var condensed []byte

//go:embed IBMPlexSansCondensed-SemiBold.ttf
var condensedBold []byte

//go:embed DejaVuSansCondensed.ttf
var wide []byte

//go:embed DejaVuSansCondensed-Bold.ttf
var wideBold []byte

// Face returns the font of a cut.
func (c Cut) Face() Face {
	switch c {
	case Bold:
		return Face{"IBMPlexSans-SmBld", bold}
	case Condensed:
		return Face{"IBMPlexSansCond", condensed}
	case CondensedBold:
		return Face{"IBMPlexSansCond-SmBld", condensedBold}
	default:
		return Face{"IBMPlexSans", regular}
	}
}

// Fallback returns the font that sets a word of which Face lacks a letter.
func (c Cut) Fallback() Face {
	if c == Bold || c == CondensedBold {
		return Face{"DejaVuSansCondensed-Bold", wideBold}
	}
	return Face{"DejaVuSansCondensed", wide}
}
