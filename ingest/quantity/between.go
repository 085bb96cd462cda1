package quantity

import "math"

// LogPart returns where a frequency lies between two others on a logarithmic axis:
// 0 at from, 1 at to.
func (f Frequency) LogPart(from, to Frequency) float64 {
	return math.Log(float64(f/from)) / math.Log(float64(to/from))
}

// Between returns the level that lies a part of the way from one level to another,
// straight in decibels: from at 0, to at 1.
func (from FieldStrength) Between(to FieldStrength, part float64) FieldStrength {
	return from * FieldStrength(math.Pow(float64(to/from), part))
}
