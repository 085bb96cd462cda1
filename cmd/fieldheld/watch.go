package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"slices"
	"strings"
	"syscall"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/watch"
	"fieldheld/report"
)

// glance is what one look at a day saw.
type glance struct {
	at      time.Time
	took    time.Duration
	report  *report.Report // nil where nothing could be evaluated
	pending place.Messages // what cannot be read yet
	fault   error          // why nothing could be evaluated
}

// watchDay checks a day again whenever a file of it changes, until it is
// interrupted. It ends as a check of the day as it was last seen would.
func watchDay(ctx context.Context, dir string, pace watch.Pace, out io.Writer, each func(*report.Report) error) error {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	changes, err := watch.Changes(ctx, dir, pace)
	if err != nil {
		return err
	}
	screen := &screen{out: out, terminal: escapable(out), dir: dir}
	for {
		g := glanceAt(dir)
		if g.report != nil && each != nil {
			if err := each(g.report); err != nil {
				return err
			}
		}
		if err := screen.show(g); err != nil {
			return err
		}
		if _, open := <-changes; !open {
			return g.verdict()
		}
	}
}

// glanceAt evaluates what can be read of a day.
func glanceAt(dir string) glance {
	g := glance{at: time.Now()}
	folder, err := ingest.Open(dir)
	if err != nil {
		g.fault = err
		return g
	}
	defer folder.Close()
	g.report, g.pending, g.fault = report.BuildSoFar(folder, program())
	if g.fault != nil {
		g.report = nil
	}
	g.took = time.Since(g.at)
	return g
}

// verdict is how a check of the day would end.
func (g glance) verdict() error {
	switch {
	case g.fault != nil:
		return g.fault
	case len(g.pending) > 0:
		return g.pending.Err()
	}
	return verdict(g.report)
}

// state says in words what was seen.
func (g glance) state() string {
	switch {
	case g.fault != nil:
		return "CANNOT BE CHECKED YET"
	case len(g.pending) > 0:
		return "NOT DEMONSTRATED SO FAR"
	}
	return strings.ToUpper(string(g.report.State))
}

// screen shows a glance: on a terminal in the place of the one before, else below
// it, and only the time where nothing is new.
type screen struct {
	out      io.Writer
	terminal *os.File // nil where out is none that can be cleared
	dir      string
	before   string
}

func (s *screen) show(g glance) error {
	var text bytes.Buffer
	p := &printer{out: &text, bold: s.terminal != nil && os.Getenv("NO_COLOR") == ""}
	p.glance(g)
	looked := fmt.Sprintf("looked at %s (took %s)", g.at.Format("15:04:05"), g.took.Round(10*time.Millisecond))
	if s.terminal != nil {
		return errors.Join(p.err, s.redraw(looked+"\n"+text.String()))
	}
	text.WriteString("\n")
	news := text.String()
	if news == s.before {
		news = "nothing new\n\n"
	} else {
		s.before = news
	}
	_, err := io.WriteString(s.out, looked+"\n"+news)
	return errors.Join(p.err, err)
}

// redraw clears the terminal and writes as much of the text as it shows.
func (s *screen) redraw(text string) error {
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	if room := linesOf(s.terminal) - 3; room > 0 && len(lines) > room {
		lines = append(lines[:room-1], fmt.Sprintf("... and %d more lines", len(lines)-room+1))
	}
	lines = append(lines, "", printable("Ctrl-C ends. Every finding: fieldheld check "+s.dir))
	_, err := io.WriteString(s.out, clearScreen+strings.Join(lines, "\n"))
	return err
}

// clearScreen empties a terminal and begins at its top.
const clearScreen = "\x1b[H\x1b[2J"

// glance prints what was seen: the verdict so far, the cells, what cannot be read
// yet, what is left and what to repeat.
func (p *printer) glance(g glance) {
	if g.report != nil && g.report.Sheet.Report.Number != "" {
		p.line("%s: %s", g.report.Sheet.Report.Number, g.report.Sheet.Article.Name)
	}
	p.head("%s", g.state())
	if g.report != nil {
		p.line("")
		p.cells(g.report)
	}
	p.unreadable(g)
	if g.report != nil {
		p.openChecks(g.report)
		p.left(g.report)
		p.failed(g.report)
	}
}

// unreadable prints what cannot be read yet.
func (p *printer) unreadable(g glance) {
	messages := g.pending
	if g.fault != nil {
		p.line("")
		var known *place.Error
		if !errors.As(g.fault, &known) {
			p.wrapped(2, g.fault.Error())
			return
		}
		messages = known.Messages
	}
	if len(messages) == 0 {
		return
	}
	var texts []string
	for _, m := range messages {
		where, text := m.Place.String(), m.What
		switch {
		case m.Place.File == jobsheet.FileName && m.Found != "":
			where = m.Found // several lines of the sheet may name one file
		case m.Found != "":
			text += ", found " + m.Found
		}
		text = strings.TrimPrefix(where+": "+text, ": ")
		if !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	if g.fault == nil {
		p.line("")
		p.head("Cannot be read yet: %d", len(texts))
	}
	for _, text := range texts {
		p.wrapped(2, text)
	}
}

// openChecks prints how many findings of each check are open.
func (p *printer) openChecks(r *report.Report) {
	counts := map[string]int{}
	var names []string
	for i := range r.Findings {
		if f := &r.Findings[i]; f.State == report.Open && f.Hole == 0 {
			if counts[f.Check]++; counts[f.Check] == 1 {
				names = append(names, f.Check)
			}
		}
	}
	if len(names) == 0 {
		return
	}
	var parts []string
	for _, name := range names {
		parts = append(parts, fmt.Sprintf("%s %d", name, counts[name]))
	}
	p.line("")
	p.wrapped(0, "Open findings: "+strings.Join(parts, ", "))
}

// left prints what has not been run yet, range by range.
func (p *printer) left(r *report.Report) {
	var lines []string
	for i := range r.Cells {
		c := &r.Cells[i]
		for _, hole := range c.Holes {
			if !hole.Accepted {
				lines = append(lines, fmt.Sprintf("  %-12s %3d  %s", c.Polarization, c.Position, span(hole.From, hole.To)))
			}
		}
	}
	if len(lines) == 0 {
		return
	}
	p.line("")
	p.head("Left to run: %d", len(lines))
	for _, line := range lines {
		p.line("%s", line)
	}
}

// failed prints the steps that have to be run again.
func (p *printer) failed(r *report.Report) {
	again := *r
	again.Repeat = nil
	for _, repeat := range r.Repeat {
		if !repeat.Hole {
			again.Repeat = append(again.Repeat, repeat)
		}
	}
	p.repeats(&again)
}
