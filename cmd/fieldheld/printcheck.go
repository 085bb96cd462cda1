package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"fieldheld/report"
)

// printCheck prints what a check found: first the findings, however many, and what
// to repeat; at the end, where a reader of a long list looks, the verdict, the
// matrix, what the article did and what to do next. With onlyOpen set it leaves out
// what decides nothing any more; a selection narrows findings, matrix and what to
// repeat to one run, and changes nothing of the verdict, the advice and the last line.
func printCheck(out io.Writer, r *report.Report, onlyOpen bool, only *selection) error {
	p := newPrinter(out)
	p.title(r)
	if only != nil {
		p.wrapped(0, "Of run "+only.id+" alone: findings, combinations and what to repeat. The verdict is that of the whole day.")
		p.line("")
	}
	p.state(r)
	p.clocks(r, only)
	p.findings(r, report.Open, "Open findings", only)
	if !onlyOpen {
		p.findings(r, report.Accepted, "Accepted by a deviation", only)
		p.findings(r, report.Note, "Notes (they decide nothing)", only)
	}
	p.repeats(r, only)
	p.line("")
	p.statements(r)
	p.line("")
	p.cells(r, only)
	p.behaviour(r)
	p.next(r)
	p.line("")
	p.wrapped(0, r.InShort())
	return p.err
}

// next prints what to do next.
func (p *printer) next(r *report.Report) {
	p.line("")
	p.head("NEXT")
	for _, text := range r.Next() {
		for i, part := range wrap(text, columns-2) {
			mark := "- "
			if i > 0 {
				mark = "  "
			}
			p.line("%s%s", mark, part)
		}
	}
}

// selection is the run to which a check is narrowed; nil for the whole day.
type selection struct {
	id  string
	run int // index in Report.Runs
}

// selectRun finds the run of that id; nil for "".
func selectRun(r *report.Report, id string) (*selection, error) {
	if id == "" {
		return nil, nil
	}
	var known []string
	for i := range r.Runs {
		if r.Runs[i].ID == id {
			return &selection{id, i}, nil
		}
		known = append(known, r.Runs[i].ID)
	}
	return nil, fmt.Errorf("--run %s: the job sheet has no such run; it has %s", id, strings.Join(known, ", "))
}

// in says of what is printed that it is that of the run.
func (s *selection) in() string {
	if s == nil {
		return ""
	}
	return " in the combinations of " + s.id
}

// cell reports whether the run serves the cell.
func (s *selection) cell(r *report.Report, cell int) bool {
	return s == nil || slices.Contains(r.Cells[cell].Runs, s.run)
}

// finding reports whether a finding concerns the run: it names it, or it names none
// and acts on the run or on one of its cells, or on the whole day.
func (s *selection) finding(r *report.Report, i int) bool {
	if s == nil {
		return true
	}
	f := &r.Findings[i]
	switch {
	case f.Run != "":
		return f.Run == s.id
	case f.Cell > 0:
		return s.cell(r, f.Cell-1)
	case len(f.ActsOn) > 0:
		return slices.Contains(f.ActsOn, s.run)
	}
	return f.Polarization == "" || f.Polarization == r.Runs[s.run].Polarization
}

// repeats is the repeat list, of a selection that of its cells.
func (s *selection) repeats(r *report.Report) []report.Repeat {
	if s == nil {
		return r.Repeat
	}
	return slices.DeleteFunc(slices.Clone(r.Repeat), func(entry report.Repeat) bool {
		cell := r.CellOf(entry)
		return cell < 0 || !s.cell(r, cell)
	})
}
