// Package layout sets text, tables and figures on pages: the make-up of a document,
// whatever it says. It knows typefaces and the vector canvas of the charts, and
// nothing of what is set. It alone uses the library that writes the drawing operators.
//
// A document is laid out more than once. While it is only measured nothing is drawn,
// and everything else happens in the same way: Settle repeats that until every page
// stands still, because page numbers stand in the text. Then it is drawn.
//
// All lengths are Points. A place on a page is measured from its upper left corner,
// downwards, and a text stands on its baseline; on the canvas of a figure the origin
// is the lower left corner and y grows upwards, as charts.Surface has it.
package layout

// Points is a length in points of 1/72 inch, 0.353 mm.
type Points = float64

// Millimetre is a millimetre in points.
const Millimetre Points = 72 / 25.4
