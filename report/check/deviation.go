package check

import (
	"fmt"
	"slices"
	"strings"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
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
		note.Message = fmt.Sprintf("The deviation for %s (%s) covers no finding.", strings.Join(entry.Covers, ", "), entry.Reason)
		notes = append(notes, note)
	}
	return notes
}

// covers reports whether an entry covers a finding: same check, same run, and
// the finding's range wholly within the entry's; absent limits are open.
func (s *Subject) covers(entry *jobsheet.Deviation, f *Finding) bool {
	if !slices.Contains(entry.Covers, f.Check) {
		return false
	}
	if entry.Run != "" && !s.concerns(entry.Run, f) {
		return false
	}
	if entry.Run == "" && entry.Folder != "" && !s.concernsDay(entry.Folder, f) {
		return false
	}
	bounded := quantity.Defined(entry.From) || quantity.Defined(entry.To)
	if bounded && !quantity.Defined(f.From) {
		return false // a finding without a range lies within no limited one
	}
	return (!quantity.Defined(entry.From) || entry.From.AtOrBelow(f.From)) &&
		(!quantity.Defined(entry.To) || f.To.AtOrBelow(entry.To))
}

// concerns reports whether a finding concerns the run: it is the run's own, or
// that of a hole in a cell that the run serves.
func (s *Subject) concerns(run string, f *Finding) bool {
	if f.Run != "" {
		return f.Run == run
	}
	if f.Polarization == "" || f.Check == "polarization" || f.Check == "position" {
		return false
	}
	cell := s.cellOf(f)
	if cell == nil {
		return false
	}
	for _, i := range cell.Runs {
		if s.Evaluated.Runs[i].ID == run {
			return true
		}
	}
	return false
}

// concernsDay reports whether a finding concerns one of several days: one of its
// runs, or, where it concerns no run, a file of its folder.
func (s *Subject) concernsDay(folder string, f *Finding) bool {
	for i := range s.Day.Runs {
		if run := s.Day.Runs[i].Sheet; run.Folder == folder && s.concerns(run.ID, f) {
			return true
		}
	}
	if f.Run != "" || f.Polarization != "" || len(f.Evidence) == 0 {
		return false
	}
	for _, e := range f.Evidence {
		if !strings.HasPrefix(e.File, folder+"/") {
			return false
		}
	}
	return true
}
