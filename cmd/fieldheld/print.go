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

// coloured writes a line in its colours where the terminal has them.
func (p *printer) coloured(l line) {
	safe := make(line, len(l))
	for i := range l {
		safe[i] = piece{place.OneLine(l[i].text), l[i].colour}
	}
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.out, safe.text(p.bold))
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

// printReportSummary prints what a reader of the report meets first.
func printReportSummary(out io.Writer, r *report.Report) error {
	p := newPrinter(out)
	p.title(r)
	p.statements(r)
	p.line("")
	p.cells(r, nil)
	p.behaviour(r)
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
}

// state prints the verdict on the day.
func (p *printer) state(r *report.Report) {
	p.coloured(line{{strings.ToUpper(string(r.State)), dayColour(r.State) + ";1"}})
}

// statements prints the answer in a sentence and in numbers, and what the job
// sheet changed of the requirement.
func (p *printer) statements(r *report.Report) {
	p.state(r)
	p.wrapped(0, r.Answer)
	p.wrapped(0, r.InNumbers)
	if text := r.NotSteps(); text != "" {
		p.wrapped(0, text)
	}
	p.overrides(r)
}

// behaviour prints what the article did, with a head of the same weight as that of
// the verdict.
func (p *printer) behaviour(r *report.Report) {
	p.line("")
	p.head("THE ARTICLE")
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

// cells prints the matrix; of a selection its cells alone.
func (p *printer) cells(r *report.Report, only *selection) {
	p.line("%-18s %-12s %3s %9s %9s  %s", "range", "polarization", "pos", "steps met", "margin", "state")
	for i := range r.Cells {
		c := &r.Cells[i]
		if !only.cell(r, i) {
			continue
		}
		row := fmt.Sprintf("%-18s %-12s %3d %9s %9s  ", cellSpan(c), c.Polarization, c.Position,
			fmt.Sprintf("%d/%d", c.StepsMet, len(c.Steps)), leastMargin(c))
		p.coloured(line{{row, plain}, {marks[c.State] + " " + c.State.String(), colours[c.State]}})
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

// span writes a range with its unit once where both ends have the same, and a range
// of one frequency as that.
func span(from, to quantity.Frequency) string {
	if from == to {
		return from.String()
	}
	low, lowUnit, _ := strings.Cut(from.String(), " ")
	high, highUnit, _ := strings.Cut(to.String(), " ")
	if lowUnit == highUnit {
		return low + " - " + high + " " + highUnit
	}
	return low + " " + lowUnit + " - " + high + " " + highUnit
}

// cellSpan writes the range of a cell, with the number of frequencies where only these
// are asked for.
func cellSpan(c *report.Cell) string {
	if n := c.ListedAlone(); n > 1 {
		return fmt.Sprintf("%d in %s", n, span(c.From, c.To))
	}
	return span(c.From, c.To)
}

// roundTowardsVerdict rounds a margin to the printed hundredth so that one below
// zero does not print as zero.
func roundTowardsVerdict(margin float64) float64 {
	if rounded := math.Round(margin*100) / 100; rounded != 0 || margin >= -float64(quantity.LevelSlack) {
		return rounded
	}
	return -0.01
}

// repeats prints what to repeat, cell by cell, as many frequencies a line as fit;
// of a selection what lies in its cells.
func (p *printer) repeats(r *report.Report, only *selection) {
	all := only.repeats(r)
	p.line("")
	if len(all) == 0 {
		p.head("Nothing to repeat%s.", only.in())
		return
	}
	p.head("To repeat before the setup is taken down%s: %d", only.in(), len(all))
	for i := 0; i < len(all); {
		first, n := all[i], 0
		var list []string
		for ; i+n < len(all) && sameCell(all[i+n], first); n++ {
			list = append(list, all[i+n].Setting.String())
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
