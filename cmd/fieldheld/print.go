package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"unicode"
	"unicode/utf8"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/check"
	"fieldheld/report/requirement"
)

// columns is the width that the output keeps to.
const columns = 80

// printable replaces control characters, so that no text of a file can steer the
// terminal.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if r == '\n' || r == '\t' || !unicode.IsControl(r) && r != utf8.RuneError {
			return r
		}
		return '\uFFFD'
	}, text)
}

// printer writes text and keeps the first error.
type printer struct {
	out  io.Writer
	bold bool
	err  error
}

func newPrinter(out io.Writer) *printer {
	return &printer{out: out, bold: os.Getenv("NO_COLOR") == "" && escapable(out) != nil}
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.out, printable(fmt.Sprintf(format, args...)))
	}
}

// head writes a line in bold where the terminal can.
func (p *printer) head(format string, args ...any) {
	text := printable(fmt.Sprintf(format, args...))
	if p.bold {
		text = "\x1b[1m" + text + "\x1b[0m"
	}
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.out, text)
	}
}

// wrapped writes a text in lines of at most the width, each indented.
func (p *printer) wrapped(indent int, text string) {
	for _, line := range wrap(text, columns-indent) {
		p.line("%s%s", strings.Repeat(" ", indent), line)
	}
}

// wrap breaks a text at blanks into lines of at most width letters; a word that
// is longer stands alone.
func wrap(text string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= width:
			line += " " + word
		default:
			lines = append(lines, line)
			line = word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// marks are the marks of the states for the terminal: how much of the proof is there.
var marks = map[report.State]string{
	report.Met: "[#]", report.MetWithDeviations: "[=]", report.NotMet: "[/]", report.NotShown: "[ ]", report.NotRequired: "   ",
}

// printCheck prints verdict, cells, findings and what to repeat.
func printCheck(out io.Writer, r *report.Report) error {
	p := newPrinter(out)
	p.title(r)
	p.line("")
	p.cells(r)
	p.findings(r, report.Open, "Open findings")
	p.findings(r, report.Accepted, "Accepted by a deviation")
	p.findings(r, report.Note, "Notes (they decide nothing)")
	p.repeats(r)
	return p.err
}

// printReportSummary prints what a reader of the report meets first.
func printReportSummary(out io.Writer, r *report.Report) error {
	p := newPrinter(out)
	p.title(r)
	p.line("")
	p.cells(r)
	if r.Draft() {
		p.line("")
		p.head("The report is a DRAFT. It lacks:")
		for _, item := range r.Missing {
			p.wrapped(2, "- "+item)
		}
	}
	return p.err
}

func (p *printer) title(r *report.Report) {
	title := r.Sheet.Article.Name
	if r.Sheet.Report.Number != "" {
		title = r.Sheet.Report.Number + ": " + title
	}
	p.wrapped(0, title)
	p.wrapped(0, r.Requirement.Title+" ("+r.Requirement.Source+")")
	p.line("")
	p.head("%s", strings.ToUpper(string(r.State)))
}

func (p *printer) cells(r *report.Report) {
	p.line("%-18s %-12s %3s %9s %9s  %s", "range", "polarization", "pos", "steps met", "margin", "state")
	for i := range r.Cells {
		c := &r.Cells[i]
		margin := "-"
		if m := c.Statistics.LeastMargin.Value; !math.IsNaN(m) {
			margin = fmt.Sprintf("%+.2f dB", roundTowardsVerdict(m))
		}
		p.line("%-18s %-12s %3d %9s %9s  %s %s", span(c.From, c.To), c.Polarization, c.Position,
			fmt.Sprintf("%d/%d", c.StepsMet, len(c.Steps)), margin, marks[c.State], c.State)
	}
}

// span writes a range with its unit once where both ends have the same.
func span(from, to quantity.Frequency) string {
	low, lowUnit, _ := strings.Cut(from.String(), " ")
	high, highUnit, _ := strings.Cut(to.String(), " ")
	if lowUnit == highUnit {
		return low + " - " + high + " " + highUnit
	}
	return low + " " + lowUnit + " - " + high + " " + highUnit
}

// roundTowardsVerdict rounds a margin to the printed hundredth so that one below
// zero does not print as zero.
func roundTowardsVerdict(margin float64) float64 {
	if rounded := math.Round(margin*100) / 100; rounded != 0 || margin >= -float64(quantity.LevelSlack) {
		return rounded
	}
	return -0.01
}

// findings prints the findings of one state, grouped by check.
func (p *printer) findings(r *report.Report, state check.FindingState, title string) {
	groups := map[string][]*report.Finding{}
	count := 0
	for i := range r.Findings {
		if f := &r.Findings[i]; f.State == state {
			groups[f.Check] = append(groups[f.Check], f)
			count++
		}
	}
	if count == 0 {
		return
	}
	p.line("")
	p.head("%s: %d", title, count)
	for _, c := range check.Suite() {
		group := groups[c.Name]
		if len(group) == 0 {
			continue
		}
		p.line("")
		p.wrapped(2, fmt.Sprintf("%s (%d): %s", c.Name, len(group), c.Doc))
		for i, f := range group {
			if i == mostListed {
				p.wrapped(4, fmt.Sprintf("... and %d more of this kind; --json lists every one.", len(group)-mostListed))
				break
			}
			p.finding(f)
		}
	}
}

// mostListed is how many findings of one kind the terminal lists.
const mostListed = 25

func (p *printer) finding(f *report.Finding) {
	p.wrapped(4, strings.TrimSpace(where(f)+"  "+f.Message))
	if f.Meaning != "" {
		p.wrapped(6, f.Meaning)
	}
	for _, e := range f.Evidence {
		text := e.File
		if e.Sheet != "" {
			text += ", sheet " + e.Sheet
		}
		switch {
		case e.First > 0 && e.First == e.Last:
			text += fmt.Sprintf(", row %d", e.First)
		case e.First > 0:
			text += fmt.Sprintf(", rows %d to %d", e.First, e.Last)
		}
		p.wrapped(6, "see "+text)
	}
}

// where says which run and frequency a finding is about.
func where(f *report.Finding) string {
	var parts []string
	if f.Run != "" {
		parts = append(parts, f.Run)
	} else if f.Polarization != "" {
		parts = append(parts, fmt.Sprintf("%s, position %d,", f.Polarization, f.Position))
	}
	switch {
	case !quantity.Defined(f.From):
	case f.From == f.To:
		parts = append(parts, "at "+f.From.String())
	default:
		parts = append(parts, span(f.From, f.To))
	}
	if len(parts) == 0 {
		return ""
	}
	return strings.Join(parts, " ") + ":"
}

// repeats prints what to repeat, cell by cell, as many frequencies a line as fit.
func (p *printer) repeats(r *report.Report) {
	p.line("")
	if len(r.Repeat) == 0 {
		p.head("Nothing to repeat.")
		return
	}
	p.head("To repeat before the setup is taken down: %d", len(r.Repeat))
	for i := 0; i < len(r.Repeat); {
		first, n := r.Repeat[i], 0
		var list []string
		for ; i+n < len(r.Repeat) && sameCell(r.Repeat[i+n], first); n++ {
			list = append(list, r.Repeat[i+n].Frequency.String())
		}
		i += n
		p.line("")
		p.line("  %s, position %d, %s (%d)", first.Polarization, first.Position, first.Why, n)
		p.table(list)
	}
}

// sameCell reports whether two entries stand in one group of the list.
func sameCell(a, b report.Repeat) bool {
	return a.Polarization == b.Polarization && a.Position == b.Position && a.Why == b.Why
}

// table writes short texts in columns.
func (p *printer) table(list []string) {
	width := 0
	for _, text := range list {
		width = max(width, utf8.RuneCountInString(text)+2)
	}
	perLine := max(1, (columns-4)/width)
	for i := 0; i < len(list); i += perLine {
		line := ""
		for _, text := range list[i:min(i+perLine, len(list))] {
			line += fmt.Sprintf("%*s", width, text)
		}
		p.line("  %s", line)
	}
}

// printRequirements lists the built-in requirements.
func printRequirements(out io.Writer, list []requirement.Summary) error {
	p := newPrinter(out)
	for _, s := range list {
		p.head("%s", s.Name)
		p.wrapped(4, s.Title)
		p.wrapped(4, s.Source)
	}
	p.line("")
	p.wrapped(0, "Name one in the job sheet: [requirement] profile = \"NAME\". Print one in full: fieldheld requirements NAME.")
	return p.err
}
