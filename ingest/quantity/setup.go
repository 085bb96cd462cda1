package quantity

import "strings"

// Polarization is the direction of the electric field of the antenna: Horizontal
// or Vertical, "" where it is of none or of every one.
type Polarization string

// The polarizations.
const (
	Horizontal Polarization = "horizontal"
	Vertical   Polarization = "vertical"
)

// Polarizations returns every polarization, in the order in which they are shown.
func Polarizations() []Polarization { return []Polarization{Horizontal, Vertical} }

// Join writes polarizations in a row, with a text between them.
func Join(polarizations []Polarization, between string) string {
	words := make([]string, len(polarizations))
	for i, polarization := range polarizations {
		words[i] = string(polarization)
	}
	return strings.Join(words, between)
}

// Position is a place of the antenna along the equipment under test, counted from
// 1; 0 where it is of none or of every one.
type Position int

// Seconds is a time that is measured or computed, as opposed to one that a document
// states. Undefined is NaN, as for every quantity.
type Seconds float64

// Samples is a number of readings.
type Samples int
