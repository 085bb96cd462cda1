package check

import (
	"slices"

	"fieldheld/ingest"
)

// shownByLog are the checks that look at the readings of a probe's log, shownByPower
// those that look at power rows: what they find in a visit that does not match the
// file, because of its clock, is a consequence of the clock. What a deviation accepts
// is settled.
var (
	shownByLog   = []string{"level", "overlevel", "dwell", "samples", "probe-fault", "frequency-agreement", "levelling", "power", "linearity"}
	shownByPower = []string{"frequency-agreement", "power", "mismatch", "linearity"}
)

// follow marks the findings that are consequences of a clock, so that whoever reads
// them reads the clock first. It changes no state: the offset is nobody's to apply.
func (s *Subject) follow(findings []Finding) {
	for i := range findings {
		if findings[i].apart == nil {
			continue
		}
		for k := range findings {
			if f := &findings[k]; f.Follows == 0 && f.State != Accepted && s.isConsequence(f, findings[i].apart) {
				f.Follows = i + 1
			}
		}
	}
}

func (s *Subject) isConsequence(f *Finding, a *apart) bool {
	checks := shownByLog
	if a.file.isPower {
		checks = shownByPower
	}
	switch {
	case f.Visit != (VisitRef{}):
		return slices.Contains(checks, f.Check) && !s.isOfOther(f, a) &&
			a.explains(s.Evaluated.Runs[f.Visit.Run-1].Visits[f.Visit.Visit-1])
	case f.Check == "power" || f.Check == "motion" && f.Text.Code == "motion.power":
		return a.file.isPower && slices.ContainsFunc(a.uses, func(u *fileUse) bool { return s.Evaluated.Runs[u.run].ID == f.Run })
	}
	return false
}

// isOfOther reports whether a finding rests on another file than the one with the
// clock: on the log of another probe, on readings where the clock is that of the power,
// or on power where it is that of a log, but for the field that it cannot have given.
func (s *Subject) isOfOther(f *Finding, a *apart) bool {
	if a.file.isPower {
		return f.Check == "frequency-agreement" && f.Text.Code != "frequency-agreement.power"
	}
	if f.Check == "power" {
		return f.Cause != "power.cannot-be"
	}
	return f.Text.Code == "frequency-agreement.power" || slices.ContainsFunc(f.Evidence, func(e Evidence) bool {
		return e.File != a.file.entry.File && slices.ContainsFunc(s.Day.Runs[f.Visit.Run-1].Probes, func(p ingest.Probe) bool { return p.Log.File.Path == e.File })
	})
}
