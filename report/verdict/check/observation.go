package check

import (
	"slices"
	"strings"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

// nothingSeen are observations of nothing, as plainObservation writes them.
var nothingSeen = []string{"", "ok", "none", "no", "no change", "nothing", "-"}

// plainObservation writes an observation without case, final points and blanks.
func plainObservation(text string) string {
	return strings.ToLower(strings.TrimSpace(strings.TrimRight(strings.TrimSpace(text), ". ")))
}

// findObservation reports what a dwell record says of the article and no event
// takes up: one finding for each run and text. It changes no cell; but nothing can
// be said of the article until somebody has looked at it.
func findObservation(s *Subject) []Finding {
	nothing := map[string]bool{}
	for _, text := range append(s.Day.Sheet.Article.NothingSeen, nothingSeen...) {
		nothing[plainObservation(text)] = true
	}
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		at := map[string]int{} // index plus one in findings
		for _, v := range slices.Concat(run.Visits, run.OtherRows) {
			text := plainObservation(v.Record.Observation)
			if !s.isRequired(run, v) || nothing[text] || s.takenUp(run, v) {
				continue
			}
			if k := at[text]; k > 0 {
				rows := &findings[k-1].Evidence[0]
				rows.First, rows.Last = min(rows.First, v.Record.Row), max(rows.Last, v.Record.Row)
				continue
			}
			f := runFinding(run)
			f.Evidence, f.Cause = dwellRow(v), text
			f.Text = wording.Say("observation", wording.Values{"observation": v.Record.Observation, "frequency": v.Frequency(), "purpose": otherPurpose(v)})
			findings = append(findings, f)
			at[text] = len(findings)
		}
	}
	return findings
}

// isRequired reports whether something is required at the frequency of a row, whether
// it is a step of the test or not: what the article does there is told.
func (s *Subject) isRequired(run *evaluate.Run, v *evaluate.Visit) bool {
	return v.IsRequired() || !v.IsStep() && quantity.Defined(s.Requirement.LimitNear(v.Frequency(), v.Resolution, run.Polarization))
}

// takenUp reports whether an event of the run stands at the visit: within its
// time, both ends included, at its frequency, or with a range of the effect, as the
// search for the threshold found it, that holds the frequency.
func (s *Subject) takenUp(run *evaluate.Run, v *evaluate.Visit) bool {
	for i := range s.Day.Sheet.Events {
		if event := &s.Day.Sheet.Events[i]; event.Run == run.ID && eventAt(event, v) {
			return true
		}
	}
	return false
}

func eventAt(event *jobsheet.Event, v *evaluate.Visit) bool {
	if !event.At.IsZero() {
		if at := quantity.InstantOf(event.At); v.Record.Start <= at && at <= v.Record.End {
			return true
		}
	}
	low, high := v.Frequency()-v.Resolution, v.Frequency()+v.Resolution
	if search := event.Search; search != nil && search.From.AtOrBelow(high) && low.AtOrBelow(search.To) {
		return true
	}
	return event.Frequency.Within(low, high)
}
