package jobsheet

import "time"

// Calibration is how the calibration of an asset stands on the dates of its use.
// The zero value is that nothing is known of it.
type Calibration int

// How a calibration can stand. Of several faults the first counts.
const (
	CalibrationNotStated   Calibration = iota // it is required, and no date is stated
	CalibrationEndUnknown                     // of a field probe, and no date is stated on which it ends
	CalibrationUseUnknown                     // no date of use is known
	CalibrationEnded                          // before the last use
	CalibrationBegunLater                     // it was made after the first use
	CalibrationValid                          // on every date of use, its first and last day included
	CalibrationNotRequired                    // as the sheet says, with its reason
)

// Fault reports whether the calibration is one that does not cover the use.
func (c Calibration) Fault() bool { return c < CalibrationValid && c != CalibrationUseUnknown }

// CalibrationOn says how the calibration of an asset stands where it is used from a
// first date to a last one, at midnight UTC. Zero dates are not known. What
// measures the field needs a date on which its calibration ends.
func (e *Equipment) CalibrationOn(first, last time.Time, measuresField bool) Calibration {
	switch {
	case e.CalibrationNotRequired:
		return CalibrationNotRequired
	case e.Calibrated.IsZero() && e.Due.IsZero():
		return CalibrationNotStated
	case e.Due.IsZero() && measuresField:
		return CalibrationEndUnknown
	case first.IsZero():
		return CalibrationUseUnknown
	case !e.Due.IsZero() && last.After(e.Due):
		return CalibrationEnded
	case !e.Calibrated.IsZero() && first.Before(e.Calibrated):
		return CalibrationBegunLater
	}
	return CalibrationValid
}

// fieldProbe is the role of an asset that measures the field.
const fieldProbe = "field probe"

// MeasuresField reports whether an asset measures the field: by its role, or
// because a run names it for a probe.
func (s *Sheet) MeasuresField(e *Equipment) bool {
	if e.Role == fieldProbe {
		return true
	}
	for i := range s.Runs {
		for k := range s.Runs[i].Probes {
			if s.Runs[i].Probes[k].Asset == e.Asset {
				return true
			}
		}
	}
	return false
}
