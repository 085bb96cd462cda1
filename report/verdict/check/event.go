package check

import (
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

func findEvent(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Day.Sheet.Events {
		event := &s.Day.Sheet.Events[i]
		if event.Dismissed != "" {
			continue // what was seen is none of the article's
		}
		faults := append(s.eventFaults(event), searchFaults(event)...)
		if len(faults) == 0 {
			continue
		}
		f := dayFinding()
		for j := range s.Evaluated.Runs {
			if run := &s.Evaluated.Runs[j]; run.ID == event.Run {
				f = runFinding(run)
			}
		}
		f.From, f.To = event.Frequency, event.Frequency
		f.Evidence, f.Text = s.sheetOf(event.Place), wording.Say("event", wording.Values{"faults": faults})
		findings = append(findings, f)
	}
	return findings
}

// eventFaults says why an event does not fit the record of visits; nothing when it does.
func (s *Subject) eventFaults(event *jobsheet.Event) []wording.Text {
	if !quantity.Defined(event.Frequency) {
		return []wording.Text{wording.Say("event.no-frequency", nil)}
	}
	visits := s.VisitsAt(event.Run, event.Frequency)
	others := s.otherRowsAt(event.Run, event.Frequency)
	if len(visits) == 0 && len(others) > 0 {
		return []wording.Text{wording.Say("event.no-test-step", wording.Values{"frequency": event.Frequency, "purpose": others[0].Record.Purpose})}
	}
	if len(visits) == 0 {
		return []wording.Text{wording.Say("event.not-visited", wording.Values{"frequency": event.Frequency})}
	}
	highest := quantity.Undefined[quantity.FieldStrength]()
	for _, v := range append(visits, others...) {
		highest = quantity.Higher(highest, v.Known)
	}
	if quantity.Defined(event.Threshold) && quantity.Defined(highest) && !highest.AtLeast(event.Threshold) {
		return []wording.Text{wording.Say("event.threshold", wording.Values{"threshold": event.Threshold, "frequency": event.Frequency, "highest": highest})}
	}
	return nil
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

// searchFaults says what a recorded search for the threshold lacks, or where its
// levels do not follow the sequence: reduce to recovery, find the worst
// frequency, reduce by a further 6 dB, raise until the effect returns. That level
// is the threshold. It says nothing for an event without a recorded search.
func searchFaults(event *jobsheet.Event) []wording.Text {
	search := event.Search
	if search == nil {
		return nil
	}
	var lacks, faults []wording.Text
	need := func(known bool, what wording.Text) {
		if !known {
			lacks = append(lacks, what)
		}
	}
	need(quantity.Defined(search.Recovered), wording.Say("search.recovered", nil))
	need(quantity.Defined(search.BackedOff), wording.Say("search.backed-off", nil))
	need(quantity.Defined(search.Returned), wording.Say("search.returned", nil))
	need(quantity.Defined(search.From) && quantity.Defined(search.To), wording.Say("search.range", nil))
	need(quantity.Defined(search.Worst), wording.Say("search.worst", nil))
	if back := search.Recovered.Over(search.BackedOff); back < backOff-0.05 {
		faults = append(faults, wording.Say("search.back-off", wording.Values{"back": back, "backOff": backOff}))
	}
	if search.Returned < search.BackedOff {
		faults = append(faults, wording.Say("search.returned-early", nil))
	}
	if quantity.Defined(event.Threshold) && quantity.Defined(search.Returned) && !(event.Threshold.AtLeast(search.Returned) && search.Returned.AtLeast(event.Threshold)) {
		faults = append(faults, wording.Say("search.threshold", wording.Values{"threshold": event.Threshold, "returned": search.Returned}))
	}
	if quantity.Defined(search.From) && quantity.Defined(search.To) && quantity.Defined(search.Worst) && !search.Worst.Within(search.From, search.To) {
		faults = append(faults, wording.Say("search.worst-outside", nil))
	}
	var said []wording.Text
	if len(lacks) > 0 {
		said = append(said, wording.Say("event.search-lacks", wording.Values{"lacks": lacks}))
	}
	if len(faults) > 0 {
		said = append(said, wording.Say("event.search-faults", wording.Values{"faults": faults}))
	}
	return said
}
