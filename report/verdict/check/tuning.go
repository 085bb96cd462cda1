package check

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/report/verdict/evaluate"
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
				f.Message = fmt.Sprintf("Tuning %s was %s.", name, strings.Join(faults, ", and "))
				findings = append(findings, f)
			}
		}
	}
	return findings
}

// tuningFaults lists why a tuning cannot have been the one of a run.
func (s *Subject) tuningFaults(tuning *jobsheet.Tuning, run *evaluate.Run) []string {
	var faults []string
	if tuning.Polarization != "" && tuning.Polarization != run.Polarization {
		faults = append(faults, fmt.Sprintf("made for %s polarization, the run has %s", tuning.Polarization, run.Polarization))
	}
	chamber := s.Day.Sheet.Site.Chamber
	if tuning.Chamber != "" && chamber != "" && !strings.EqualFold(tuning.Chamber, chamber) {
		faults = append(faults, fmt.Sprintf("made for %s, the test stood in %s", tuning.Chamber, chamber))
	}
	if first := firstStart(run); !tuning.Made.IsZero() && !first.IsZero() && tuning.Made.After(first) {
		zone := s.Day.Sheet.Report.Zone
		faults = append(faults, fmt.Sprintf("made at %s, after the run began at %s",
			tuning.Made.In(zone).Format(clockLayout), first.In(zone).Format(clockLayout)))
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
