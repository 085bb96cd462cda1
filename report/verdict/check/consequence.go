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
		return slices.Contains(checks, f.Check) && !s.shownElsewhere(f, a) &&
			a.explains(s.Evaluated.Runs[f.Visit.Run-1].Visits[f.Visit.Visit-1])
	case f.Check == "power" || f.Check == "motion" && f.Text.Code == "motion.power":
		return a.file.isPower && slices.ContainsFunc(a.uses, func(u *use) bool { return s.Evaluated.Runs[u.run].ID == f.Run })
	}
	return false
}

// shownElsewhere reports whether the evidence of a finding is the log of a probe and
// not the file with the clock: of what another log shows, this clock explains nothing.
func (s *Subject) shownElsewhere(f *Finding, a *apart) bool {
	if a.file.isPower {
		return f.Check == "frequency-agreement" && f.State != Note // of readings
	}
	return slices.ContainsFunc(f.Evidence, func(e Evidence) bool {
		return e.File != a.file.entry.File && slices.ContainsFunc(s.Day.Runs[f.Visit.Run-1].Probes, func(p ingest.Probe) bool { return p.Log.File.Path == e.File })
	})
}
