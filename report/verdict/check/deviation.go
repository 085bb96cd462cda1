package check

import (
	"slices"
	"strings"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

// applyDeviations marks open findings that an entry covers as accepted, and
// returns a note for every entry that covers no finding.
func (s *Subject) applyDeviations(findings []Finding) []Finding {
	var notes []Finding
	for i := range s.Day.Sheet.Deviations {
		entry, covers := &s.Day.Sheet.Deviations[i], false
		for j := range findings {
			f := &findings[j]
			if !s.covers(entry, f) {
				continue
			}
			covers = true
			if f.State == Open {
				f.State, f.Deviation = Accepted, i+1
			}
		}
		if covers {
			continue
		}
		note := dayFinding()
		note.Check, note.State, note.Evidence = "deviation", Note, s.sheetOf(entry.Place)
		note.Text = wording.Say("deviation.covers-nothing", wording.Values{"covers": entry.Covers, "reason": entry.Reason})
		notes = append(notes, note)
	}
	return notes
}

// covers reports whether an entry covers a finding: same check, same run, and
// the finding's range wholly within the entry's; absent limits are open.
func (s *Subject) covers(entry *jobsheet.Deviation, f *Finding) bool {
	if !slices.Contains(entry.Covers, f.Check) || !s.reaches(entry, f) {
		return false
	}
	switch {
	case entry.Run != "":
		if !s.concerns(f, func(run int) bool { return s.Evaluated.Runs[run].ID == entry.Run }) {
			return false
		}
	case entry.Folder != "":
		if !s.concernsDay(entry.Folder, f) {
			return false
		}
	}
	bounded := quantity.Defined(entry.From) || quantity.Defined(entry.To)
	if bounded && !quantity.Defined(f.From) {
		return false // a finding without a range lies within no limited one
	}
	return (!quantity.Defined(entry.From) || entry.From.AtOrBelow(f.From)) &&
		(!quantity.Defined(entry.To) || f.To.AtOrBelow(entry.To))
}

// reaches reports whether the level of a finding's visit reaches the floor that
// the entry was agreed for; below it the entry accepts nothing.
func (s *Subject) reaches(entry *jobsheet.Deviation, f *Finding) bool {
	if !quantity.Defined(entry.LevelMin) || f.Visit == (VisitRef{}) {
		return true
	}
	level := s.Evaluated.Runs[f.Visit.Run-1].Visits[f.Visit.Visit-1].Level()
	return quantity.Defined(level) && level.AtLeast(entry.LevelMin)
}

// concerns reports whether a finding concerns a run that is meant: it is the
// run's own; a hole has a visit of the run beside it; or the run serves the whole
// cell that it concerns. A cell that no run serves, or of which the number of
// positions is not known, concerns none.
func (s *Subject) concerns(f *Finding, meant func(run int) bool) bool {
	switch {
	case f.Run != "" && f.Hole == 0:
		return slices.ContainsFunc(s.indices(), func(i int) bool { return s.Evaluated.Runs[i].ID == f.Run && meant(i) })
	case f.Cell == 0:
		return false
	case f.Hole == 0:
		return slices.ContainsFunc(s.Evaluated.Cells[f.Cell-1].Runs, meant)
	}
	hole := &s.Evaluated.Cells[f.Cell-1].Holes[f.Hole-1]
	for _, step := range []*evaluate.Step{hole.Before, hole.After} {
		if step != nil && slices.ContainsFunc(step.Visits, func(v *evaluate.Visit) bool { return meant(v.Run) }) {
			return true
		}
	}
	return false
}

// indices returns those of all runs.
func (s *Subject) indices() []int {
	indices := make([]int, len(s.Evaluated.Runs))
	for i := range indices {
		indices[i] = i
	}
	return indices
}

// concernsDay reports whether a finding concerns one of several days, whose sheet
// the entry stands in: one of its runs; of a whole cell, all runs that serve it; or,
// where it concerns no run, a file of the day's folder.
func (s *Subject) concernsDay(folder string, f *Finding) bool {
	ofDay := func(run int) bool { return s.Day.Runs[run].Sheet.Folder == folder }
	switch {
	case f.Cell > 0 && f.Hole == 0:
		runs := s.Evaluated.Cells[f.Cell-1].Runs
		return len(runs) > 0 && !slices.ContainsFunc(runs, func(run int) bool { return !ofDay(run) })
	case f.Run != "" || f.Cell > 0:
		return s.concerns(f, ofDay)
	}
	return f.Polarization == "" && len(f.Evidence) > 0 &&
		!slices.ContainsFunc(f.Evidence, func(e Evidence) bool { return !strings.HasPrefix(e.File, folder+"/") })
}
