package main

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/report"
)

// repeats are the steps that have to be run again.
func (v *sight) repeats(width int) []line {
	list := v.progress.Repeat
	if len(list) == 0 {
		return nil
	}
	lines := []line{{}, strong.line(fmt.Sprintf("To repeat: %d", len(list)))}
	for len(list) > 0 {
		n := 1
		for n < len(list) && sameCell(list[n], list[0]) {
			n++
		}
		text := fmt.Sprintf("%s %d, %s:", list[0].Polarization, list[0].Position, list[0].Why)
		for _, entry := range list[:n] {
			text += " " + entry.Setting.String() + ","
		}
		lines = append(lines, wrappedLines(2, width, strings.TrimSuffix(text, ","))...)
		list = list[n:]
	}
	return lines
}

// waits is what is not there yet and no fault: steps whose log is behind, and runs
// that were not begun, in one line each.
func (v *sight) waits(width int) []line {
	var lines []line
	if v.progress != nil && len(v.progress.Waiting) > 0 {
		lines = append(lines, wrappedLines(0, width, "Waiting for the log: "+counted(len(v.progress.Waiting), "step", "steps"))...)
	}
	if len(v.notBegun) > 0 {
		lines = append(lines, plain.line("Runs not begun: "+strings.Join(v.notBegun, ", ")).cut(width))
	}
	if len(lines) > 0 {
		lines = append([]line{{}}, lines...)
	}
	return lines
}

// unreadable is what cannot be read yet, without the records of runs that were not
// begun.
func (v *sight) unreadable(width int) []line {
	messages := v.pending
	if v.fault != nil {
		var known *place.Error
		if !errors.As(v.fault, &known) {
			return append([]line{{}}, wrappedLines(2, width, v.fault.Error())...)
		}
		messages = known.Messages
	}
	var texts []string
	for _, m := range messages {
		if v.ofRunNotBegun(m) || goesWithReport(m) && v.progress.Visited < v.progress.Planned {
			continue
		}
		where, text := m.Place.String(), m.What()
		switch {
		case m.Place.File == jobsheet.FileName && m.Text.Code == "file.not-there":
			where = "" // the message names the file, and several lines of the sheet may
		case m.Place.File == jobsheet.FileName && m.Found() != "":
			where = m.Found() // several lines of the sheet may name one file
		case m.Found() != "":
			text += ", found " + m.Found()
		}
		text = strings.TrimPrefix(where+": "+text, ": ")
		if !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	if len(texts) == 0 {
		return nil
	}
	lines := []line{{}}
	if v.fault == nil {
		lines = append(lines, strong.line(fmt.Sprintf("Cannot be read yet: %d", len(texts))))
	}
	for _, text := range texts {
		lines = append(lines, wrappedLines(2, width, text)...)
	}
	return lines
}

// ofRunNotBegun reports whether a message is about a file that only runs name that
// were not begun.
func (v *sight) ofRunNotBegun(m place.Message) bool {
	for i := range v.runs {
		if !slices.Contains(v.notBegun, v.runs[i].ID) {
			continue
		}
		if slices.ContainsFunc(v.runs[i].Files(), func(f jobsheet.NamedFile) bool { return f.Entry.Place == m.Place }) {
			return true
		}
	}
	return false
}

// goesWithReport reports whether a message speaks of a picture or annex, which the report
// needs and the test does not: it may come when the setup is taken down.
func goesWithReport(m place.Message) bool {
	for _, list := range []string{"photo[", "annex[", "report.logo"} {
		if strings.HasPrefix(m.Place.Key, list) {
			return true
		}
	}
	return false
}

// clocks names the files from whose clocks open findings follow, which are not listed
// among the open ones: what the steps show is told when these are right.
func (v *sight) clocks(width int) []line {
	files, open := v.report.ClocksFirst()
	if open == 0 {
		return nil
	}
	return append([]line{{}}, wrappedLines(0, width, fmt.Sprintf("Clocks apart: %s; %s", strings.Join(files, ", "),
		counted(open, "open finding follows from it", "open findings follow from it")))...)
}

// openChecks is how many findings of each check are open, without those of steps
// that wait for their log, of what was not run yet, and of what follows from a clock.
func (v *sight) openChecks(width int) []line {
	counts := map[string]int{}
	var names []string
	for i := range v.report.Findings {
		f := &v.report.Findings[i]
		if f.State != report.Open || f.Hole > 0 || f.Follows > 0 || v.waiting(f) {
			continue
		}
		if counts[f.Check]++; counts[f.Check] == 1 {
			names = append(names, f.Check)
		}
	}
	if len(names) == 0 {
		return nil
	}
	var parts []string
	for _, name := range names {
		parts = append(parts, fmt.Sprintf("%s %d", name, counts[name]))
	}
	return append([]line{{}}, wrappedLines(0, width, "Open findings: "+strings.Join(parts, ", "))...)
}

// waiting reports whether a finding is about a step that waits for its log.
func (v *sight) waiting(f *report.Finding) bool {
	if f.Visit == (report.VisitRef{}) {
		return false
	}
	visit := v.report.Runs[f.Visit.Run-1].Visits[f.Visit.Visit-1]
	for i := range v.progress.Cells {
		for k := range v.progress.Cells[i].Waiting {
			if slices.Contains(v.report.Cells[i].Steps[k].Visits, visit) {
				return true
			}
		}
	}
	return false
}

// left is what has not been run yet, range by range.
func (v *sight) left() []line {
	var lines []line
	for i := range v.report.Cells {
		c := &v.report.Cells[i]
		for _, hole := range c.Holes {
			if !hole.Accepted {
				lines = append(lines, plain.line(fmt.Sprintf("  %-12s %3d  %s", c.Polarization, c.Position, span(hole.From, hole.To))))
			}
		}
	}
	if len(lines) == 0 {
		return nil
	}
	return append([]line{{}, strong.line(fmt.Sprintf("Left to run: %d", len(lines)))}, lines...)
}
