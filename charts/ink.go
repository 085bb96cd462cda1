package charts

import "image/color"

// The colours of figures. Ink and the greys carry form; the data colours are the
// colour-blind-safe set of Okabe and Ito.
var (
	Ink    = color.RGBA{27, 31, 36, 255}    // text, limits, marks
	Quiet  = color.RGBA{96, 104, 112, 255}  // labels of axes
	Grid   = color.RGBA{220, 224, 228, 255} // lines behind the data
	Hair   = color.RGBA{196, 202, 208, 255} // every fifth row of a table
	Band   = color.RGBA{236, 240, 243, 255} // tolerance band
	Gap    = color.RGBA{242, 236, 228, 255} // holes
	Paper  = color.RGBA{255, 255, 255, 255}
	Accent = color.RGBA{22, 74, 92, 255} // rules and heads

	blue      = color.RGBA{0, 114, 178, 255}
	vermilion = color.RGBA{213, 94, 0, 255}
	green     = color.RGBA{0, 158, 115, 255}
	sky       = color.RGBA{86, 180, 233, 255}
	orange    = color.RGBA{230, 159, 0, 255}
	purple    = color.RGBA{204, 121, 167, 255}
)

// look is how one run is told from the others: by colour, and in a grey print
// by dash and symbol.
type look struct {
	colour color.RGBA
	dashes []float64
	symbol symbol
}

var looks = []look{
	{blue, nil, disc},
	{vermilion, []float64{5, 2}, ring},
	{green, []float64{1.5, 1.5}, triangle},
	{purple, []float64{7, 2, 1.5, 2}, diamond},
	{orange, []float64{9, 3}, square},
	{sky, []float64{3, 1.5}, cross},
}

// lookOf returns the look of the run with the index; with more runs than looks
// they begin again.
func lookOf(run int) look { return looks[run%len(looks)] }
