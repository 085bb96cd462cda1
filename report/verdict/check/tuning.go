package check

import (
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

func findTuning(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run, name := &s.Evaluated.Runs[i], s.Day.Runs[i].Sheet.Tuning
		for j := range s.Day.Sheet.Tunings {
			tuning := &s.Day.Sheet.Tunings[j]
			if name == "" || tuning.Name != name {
				continue
			}
			if faults := s.tuningFaults(tuning, run); len(faults) > 0 {
				f := runFinding(run)
				f.Evidence = s.sheetOf(tuning.Place)
				f.Text = wording.Say("tuning", wording.Values{"name": name, "faults": faults})
				findings = append(findings, f)
			}
		}
	}
	return findings
}

// tuningFaults lists why a tuning cannot have been the one of a run.
func (s *Subject) tuningFaults(tuning *jobsheet.Tuning, run *evaluate.Run) []wording.Text {
	var faults []wording.Text
	if tuning.Polarization != "" && tuning.Polarization != run.Polarization {
		faults = append(faults, wording.Say("tuning.polarization", wording.Values{"made": tuning.Polarization, "run": run.Polarization}))
	}
	chamber := s.Day.Sheet.Site.Chamber
	if tuning.Chamber != "" && chamber != "" && !strings.EqualFold(tuning.Chamber, chamber) {
		faults = append(faults, wording.Say("tuning.chamber", wording.Values{"made": tuning.Chamber, "test": chamber}))
	}
	if first := firstStart(run); !tuning.Made.IsZero() && !first.IsZero() && tuning.Made.After(first) {
		zone := s.Day.Sheet.Report.Zone
		faults = append(faults, wording.Say("tuning.later", wording.Values{"made": tuning.Made.In(zone).Format(clockLayout),
			"begun": first.In(zone).Format(clockLayout)}))
	}
	return faults
}

// clockLayout writes a date and a time to the second.
const clockLayout = "2006-01-02 15:04:05"

// firstStart is when the first visit of a run begins; zero where it has none.
func firstStart(run *evaluate.Run) time.Time {
	var first time.Time
	for _, v := range run.Visits {
		if at := v.Record.Start.UTC(); first.IsZero() || at.Before(first) {
			first = at
		}
	}
	return first
}
