package check

import (
	"fmt"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/evaluate"
)

func findEvent(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Day.Sheet.Events {
		event := &s.Day.Sheet.Events[i]
		message := s.eventFault(event)
		if message == "" {
			continue
		}
		f := dayFinding()
		for j := range s.Evaluated.Runs {
			if run := &s.Evaluated.Runs[j]; run.ID == event.Run {
				f = runFinding(run)
			}
		}
		f.From, f.To = event.Frequency, event.Frequency
		f.Evidence, f.Message = s.jobSheet(), message
		findings = append(findings, f)
	}
	return findings
}

// eventFault says why an event does not fit the record of visits; "" when it does.
func (s *Subject) eventFault(event *jobsheet.Event) string {
	if !quantity.Defined(event.Frequency) {
		return "The event has no frequency."
	}
	visits := s.VisitsAt(event.Run, event.Frequency)
	if len(visits) == 0 {
		return fmt.Sprintf("The event at %s was at no visited frequency.", event.Frequency)
	}
	highest := quantity.Undefined[quantity.FieldStrength]()
	for _, v := range visits {
		if !(highest >= v.Maximum) {
			highest = v.Maximum
		}
	}
	if quantity.Defined(event.Threshold) && quantity.Defined(highest) && !highest.AtLeast(event.Threshold) {
		return fmt.Sprintf("The threshold of %s at %s is above the highest field reached there, %s.",
			event.Threshold, event.Frequency, highest)
	}
	return ""
}

// nearFrequency is how near a visit must be to an event's frequency, as the power
// rows of a file without times must be to a visit's.
const nearFrequency = 1e-4

// VisitsAt returns the visits of a run (of all runs for "") at the frequency that
// an event names, within the record's resolution or one part in 10,000.
func (s *Subject) VisitsAt(run string, f quantity.Frequency) []*evaluate.Visit {
	var visits []*evaluate.Visit
	for i := range s.Evaluated.Runs {
		if run != "" && s.Evaluated.Runs[i].ID != run {
			continue
		}
		near := max(s.Day.Runs[i].Dwell.Resolution, nearFrequency*f)
		for _, v := range s.Evaluated.Runs[i].Visits {
			if v.Frequency().Within(f-near, f+near) {
				visits = append(visits, v)
			}
		}
	}
	return visits
}
