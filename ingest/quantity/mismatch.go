package quantity

import "math"

// Mismatch returns the voltage standing wave ratio and the return loss that
// belong to a forward and a reflected power: with Γ = √(reflected/forward),
// VSWR = (1 + Γ)/(1 − Γ) and return loss = −20·log10 Γ. Both are undefined
// where reflected is not below forward or a power is undefined; the return loss
// is undefined too where nothing is reflected.
func Mismatch(forward, reflected Power) (Ratio, Decibel) {
	if !(reflected >= 0 && reflected < forward) {
		return Undefined[Ratio](), Undefined[Decibel]()
	}
	gamma := math.Sqrt(float64(reflected / forward))
	loss := Undefined[Decibel]()
	if gamma > 0 {
		loss = Decibel(-20 * math.Log10(gamma))
	}
	return Ratio((1 + gamma) / (1 - gamma)), loss
}
