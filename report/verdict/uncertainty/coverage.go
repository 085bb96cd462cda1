package uncertainty

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"fieldheld/ingest/quantity"
)

// TruncatedDegrees returns the effective degrees of freedom cut down to a whole
// number, as a table of the t-distribution is entered (JCGM 100:2008 G.4.1);
// +Inf where they are many.
func (b Budget) TruncatedDegrees() float64 { return math.Floor(b.DegreesOfFreedom) }

// NormalCoverage is the part of a normal distribution that the expanded uncertainty
// covers: 0.9545 for k = 2.
func (b Budget) NormalCoverage() float64 { return math.Erf(float64(b.CoverageFactor) / math.Sqrt2) }

// CoverageFromT returns the coverage factor that the effective degrees of freedom
// ask for: the interval of ± that many standard uncertainties holds the true
// value with the probability (above 0 and below 1, both sides together;
// JCGM 100:2008 G.3 and G.4). It does not change the budget's own factor, which
// the laboratory states; the two can be compared. It is undefined (NaN) for a
// probability out of range and below one degree of freedom.
func (b Budget) CoverageFromT(probability float64) quantity.Ratio {
	degrees := b.TruncatedDegrees()
	if !(probability > 0 && probability < 1) || !(degrees >= 1) {
		return quantity.Undefined[quantity.Ratio]()
	}
	oneSided := 0.5 + probability/2
	if math.IsInf(degrees, 1) {
		return quantity.Ratio(distuv.UnitNormal.Quantile(oneSided))
	}
	return quantity.Ratio(distuv.StudentsT{Sigma: 1, Nu: degrees}.Quantile(oneSided))
}
