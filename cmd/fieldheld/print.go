package main

import (
	"fmt"
	"io"
	"math"
	"os"
	"strings"
	"unicode/utf8"

	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/requirement"
)

// columns is the width that the output keeps to.
const columns = 80

// printable lets no text of a file steer the terminal: letters that cannot be seen
// are written as their numbers. The line ends of the program's own texts stay.
func printable(text string) string {
	lines := strings.Split(text, "\n")
	for i := range lines {
		lines[i] = place.OneLine(lines[i])
	}
	return strings.Join(lines, "\n")
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
	text := place.OneLine(fmt.Sprintf(format, args...)) // a head is one line, whatever the names in it hold
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

// printCheck prints verdict, cells, findings and what to repeat; at the end the
// verdict again, where a reader of a long list looks. With onlyOpen set it leaves
// out what decides nothing any more.
func printCheck(out io.Writer, r *report.Report, onlyOpen bool) error {
	p := newPrinter(out)
	p.title(r)
	p.statements(r)
	p.line("")
	p.cells(r)
	p.findings(r, report.Open, "Open findings")
	if !onlyOpen {
		p.findings(r, report.Accepted, "Accepted by a deviation")
		p.findings(r, report.Note, "Notes (they decide nothing)")
	}
	p.repeats(r)
	p.line("")
	p.wrapped(0, r.InShort())
	return p.err
}

// printReportSummary prints what a reader of the report meets first.
func printReportSummary(out io.Writer, r *report.Report) error {
	p := newPrinter(out)
	p.title(r)
	p.statements(r)
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

// statements prints the answer in a sentence and in numbers, what the job sheet
// changed of the requirement, and what the article did.
func (p *printer) statements(r *report.Report) {
	p.wrapped(0, r.Answer)
	p.wrapped(0, r.InNumbers)
	p.overrides(r)
	p.line("")
	p.wrapped(0, r.Behaviour)
}

// overrides lists what the job sheet changes of the requirement.
func (p *printer) overrides(r *report.Report) {
	list := r.Requirement.Overrides
	if len(list) == 0 {
		return
	}
	p.line("")
	p.head("Set otherwise by the job sheet: %d", len(list))
	for _, o := range list {
		text := fmt.Sprintf("%s: %s instead of %s", o.Name(), o.Is, o.Was)
		if o.Relaxation {
			text += "; this asks for less"
			if o.AgreedBy != "" {
				text += ", agreed by " + o.AgreedBy
			} else {
				text += ", agreed by nobody"
			}
		}
		if o.Reason != "" {
			text += ". " + o.Reason
		}
		p.wrapped(2, text)
	}
}

func (p *printer) cells(r *report.Report) {
	p.line("%-18s %-12s %3s %9s %9s  %s", "range", "polarization", "pos", "steps met", "margin", "state")
	for i := range r.Cells {
		c := &r.Cells[i]
		p.line("%-18s %-12s %3d %9s %9s  %s %s", span(c.From, c.To), c.Polarization, c.Position,
			fmt.Sprintf("%d/%d", c.StepsMet, len(c.Steps)), leastMargin(c), marks[c.State], c.State)
		var why []string
		if n := c.Statistics.NoLevel; n > 0 {
			why = append(why, counted(n, "step", "steps")+" held no level")
		}
		if open := r.Why(c); open != "" {
			why = append(why, "open: "+open)
		}
		if len(why) > 0 {
			p.wrapped(4, strings.Join(why, "; "))
		}
	}
}

// leastMargin writes the least margin of a cell. Where a step held no level, the
// margin of the others is none.
func leastMargin(c *report.Cell) string {
	m := c.Statistics.LeastMargin.Value
	if math.IsNaN(m) || c.Statistics.NoLevel > 0 {
		return "-"
	}
	return fmt.Sprintf("%+.2f dB", roundTowardsVerdict(m))
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

// findings prints the findings of one state by check, those that are read as one
// together.
func (p *printer) findings(r *report.Report, state check.FindingState, title string) {
	byCheck := map[string][]int{}
	count := 0
	for i := range r.Findings {
		if f := &r.Findings[i]; f.State == state {
			byCheck[f.Check] = append(byCheck[f.Check], i)
			count++
		}
	}
	if count == 0 {
		return
	}
	p.line("")
	p.head("%s: %d", title, count)
	for _, c := range check.Suite() {
		indices := byCheck[c.Name]
		if len(indices) == 0 {
			continue
		}
		p.line("")
		p.wrapped(2, fmt.Sprintf("%s (%d): %s", c.Name, len(indices), c.Doc))
		groups := r.GroupFindings(indices)
		for i := range groups {
			if i == mostListed {
				p.wrapped(4, fmt.Sprintf("... and %d more of this kind; --json lists every one.", len(groups)-mostListed))
				break
			}
			p.finding(r, &groups[i])
		}
	}
}

// mostListed is how many findings of one kind the terminal lists.
const mostListed = 25

// finding prints a finding, or the first of several that are read as one.
func (p *printer) finding(r *report.Report, g *report.FindingGroup) {
	f := &r.Findings[g.First()]
	text := f.Message
	if n := len(g.Findings); n > 1 {
		text = fmt.Sprintf("%d of one kind; the first, %s %s", n, where(f, f.From, f.To), text)
	}
	p.wrapped(4, strings.TrimSpace(where(f, g.From, g.To)+"  "+text))
	if f.Meaning != "" {
		p.wrapped(6, f.Meaning)
	}
	for _, e := range g.Evidence {
		p.wrapped(6, "see "+e.String())
	}
}

// where says which run a finding is about, and between which frequencies.
func where(f *report.Finding, from, to quantity.Frequency) string {
	var parts []string
	if f.Run != "" {
		parts = append(parts, f.Run)
	} else if f.Polarization != "" {
		parts = append(parts, string(f.Polarization)+",")
		if f.Position > 0 {
			parts = append(parts, fmt.Sprintf("position %d,", f.Position))
		}
	}
	switch {
	case !quantity.Defined(from):
	case from == to:
		parts = append(parts, "at "+from.String())
	default:
		parts = append(parts, span(from, to))
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
