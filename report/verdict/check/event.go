package check

import (
	"fmt"
	"strings"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

func findEvent(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Day.Sheet.Events {
		event := &s.Day.Sheet.Events[i]
		if event.Dismissed != "" {
			continue // what was seen is none of the article's
		}
		message := strings.TrimSpace(s.eventFault(event) + " " + searchFault(event))
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
		f.Evidence, f.Message = s.sheetOf(event.Place), message
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
	others := s.otherRowsAt(event.Run, event.Frequency)
	if len(visits) == 0 && len(others) > 0 {
		return fmt.Sprintf("The event at %s was in a row that is no test step (%s); no step was held there.", event.Frequency, others[0].Record.Purpose)
	}
	if len(visits) == 0 {
		return fmt.Sprintf("The event at %s was at no visited frequency.", event.Frequency)
	}
	highest := quantity.Undefined[quantity.FieldStrength]()
	for _, v := range append(visits, others...) {
		highest = quantity.Higher(highest, v.Known)
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
	return s.rowsAt(run, f, func(r *evaluate.Run) []*evaluate.Visit { return r.Visits })
}

// otherRowsAt returns the rows there that are no test steps.
func (s *Subject) otherRowsAt(run string, f quantity.Frequency) []*evaluate.Visit {
	return s.rowsAt(run, f, func(r *evaluate.Run) []*evaluate.Visit { return r.OtherRows })
}

func (s *Subject) rowsAt(run string, f quantity.Frequency, of func(*evaluate.Run) []*evaluate.Visit) []*evaluate.Visit {
	var visits []*evaluate.Visit
	for i := range s.Evaluated.Runs {
		if run != "" && s.Evaluated.Runs[i].ID != run {
			continue
		}
		near := max(s.Day.Runs[i].Dwell.Resolution, nearFrequency*f)
		for _, v := range of(&s.Evaluated.Runs[i]) {
			if v.Frequency().Within(f-near, f+near) {
				visits = append(visits, v)
			}
		}
	}
	return visits
}

// backOff is how far below recovery the level goes before it is raised again to
// find the threshold (MIL-STD-461G 4.3.10.4.3).
const backOff quantity.Decibel = 6

// searchFault says what a recorded search for the threshold lacks, or where its
// levels do not follow the sequence: reduce to recovery, find the worst
// frequency, reduce by a further 6 dB, raise until the effect returns. That level
// is the threshold. It says "" for an event without a recorded search.
func searchFault(event *jobsheet.Event) string {
	search := event.Search
	if search == nil {
		return ""
	}
	var lacks, faults []string
	need := func(known bool, what string) {
		if !known {
			lacks = append(lacks, what)
		}
	}
	need(quantity.Defined(search.Recovered), "the level of recovery")
	need(quantity.Defined(search.BackedOff), "the level after the 6 dB back-off")
	need(quantity.Defined(search.Returned), "the level at which the effect returned")
	need(quantity.Defined(search.From) && quantity.Defined(search.To), "the frequency range of the effect")
	need(quantity.Defined(search.Worst), "the frequency of the lowest threshold")
	if back := search.Recovered.Over(search.BackedOff); back < backOff-0.05 {
		faults = append(faults, fmt.Sprintf("the level was reduced by %s below recovery, not by %s", back, backOff))
	}
	if search.Returned < search.BackedOff {
		faults = append(faults, "the effect returned below the level from which it was raised")
	}
	if quantity.Defined(event.Threshold) && quantity.Defined(search.Returned) && !(event.Threshold.AtLeast(search.Returned) && search.Returned.AtLeast(event.Threshold)) {
		faults = append(faults, fmt.Sprintf("the threshold is stated as %s, the effect returned at %s", event.Threshold, search.Returned))
	}
	if quantity.Defined(search.From) && quantity.Defined(search.To) && quantity.Defined(search.Worst) && !search.Worst.Within(search.From, search.To) {
		faults = append(faults, "the worst frequency lies outside the range of the effect")
	}
	text := ""
	if len(lacks) > 0 {
		text = "The search for the threshold does not record " + strings.Join(lacks, ", ") + "."
	}
	if len(faults) > 0 {
		text += " In the search for the threshold " + strings.Join(faults, ", and ") + "."
	}
	return strings.TrimSpace(text)
}
