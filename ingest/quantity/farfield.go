package quantity

import "math"

// FarField returns the field that a power radiates at a distance, in free space
// and far from the antenna: E = √(30·P·G)/d. gain is the antenna's power gain
// over an isotropic one. It is undefined unless the distance is above zero and
// neither power nor gain is negative.
func FarField(power Power, gain Ratio, distance Length) FieldStrength {
	if !(power >= 0 && gain >= 0 && distance > 0) {
		return Undefined[FieldStrength]()
	}
	return FieldStrength(math.Sqrt(30*float64(power)*float64(gain)) / float64(distance))
}
