package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/report"
	"fieldheld/report/plan"
)

// sight is what there is to be seen of a day that is watched, at one time: a glance
// with what the growth of the logs says.
type sight struct {
	*glance
	at       time.Time
	progress *report.Progress // nil where nothing could be evaluated
	silences []silence        // of the run that is going on
	notBegun []string         // ids of runs without any record
}

// sightOf joins a glance with what is known of the logs.
func sightOf(g *glance, logs *growth, at time.Time) *sight {
	v := &sight{glance: g, at: at}
	going := logs.going(g.runs, g.newest)
	id := ""
	if going != nil {
		id = going.ID
	}
	if g.report != nil {
		v.progress = g.report.Progress(id)
	}
	if going != nil && !v.complete(id) {
		v.silences = logs.silences(going, at)
	}
	for i := range g.runs {
		if !logs.begun(&g.runs[i]) {
			v.notBegun = append(v.notBegun, g.runs[i].ID)
		}
	}
	return v
}

// newest is the end of the newest visit of a run; zero where it has none.
func (g *glance) newest(id string) time.Time {
	var newest time.Time
	if g.report == nil {
		return newest
	}
	for i := range g.report.Runs {
		if g.report.Runs[i].ID != id {
			continue
		}
		for _, v := range g.report.Runs[i].Visits {
			if end := v.Record.End.UTC(); end.After(newest) {
				newest = end
			}
		}
	}
	return newest
}

// complete reports whether nothing is left to do in the cells of a run, so that
// its logs may stand still. A run that cannot be read yet is not complete.
func (v *sight) complete(id string) bool {
	if v.report == nil {
		return false
	}
	run := slices.IndexFunc(v.report.Runs, func(r report.Run) bool { return r.ID == id })
	served := false
	for i := range v.report.Cells {
		if run < 0 || !slices.Contains(v.report.Cells[i].Runs, run) {
			continue
		}
		served = true
		if c := &v.progress.Cells[i]; c.Left() > 0 || len(c.Waiting) > 0 {
			return false
		}
	}
	return served
}

// looked says when the day was evaluated, and how long that took.
func (v *sight) looked() string {
	return fmt.Sprintf("looked at %s (took %s)", clockTime(v.glance.at), v.took.Round(10*time.Millisecond))
}

// state says in words what was seen.
func (v *sight) state() (text string, c colour) {
	switch {
	case v.fault != nil:
		return "CANNOT BE CHECKED YET", bad
	case !v.whole():
		return "NOT DEMONSTRATED SO FAR", strong
	case v.report.State == report.NotDemonstrated && v.progress.Visited < v.progress.Planned:
		return "NOT DEMONSTRATED SO FAR", strong
	}
	return strings.ToUpper(string(v.report.State)), dayColour(v.report.State)
}

// alarms tells the probes whose logs stand still.
func (v *sight) alarms() []string {
	var list []string
	for _, s := range v.silences {
		switch {
		case !s.there:
			list = append(list, fmt.Sprintf("%s HAS NO LOG: %s is not there, and its run is going on", s.probe, s.file))
		case s.since.IsZero():
			list = append(list, fmt.Sprintf("%s SILENT since the watching began: no new row in %s", s.probe, s.file))
		default:
			list = append(list, fmt.Sprintf("%s silent since %s: no new row in %s", s.probe, clockTime(s.since), s.file))
		}
	}
	return list
}

// lines writes everything that there is to be seen, the most pressing first.
func (v *sight) lines(width int, strips func(cell int) bool, left bool) []line {
	lines := v.top()
	if v.report != nil {
		lines = append(lines, v.now(width)...)
		lines = append(lines, v.clocks(width)...)
		lines = append(lines, v.cells(width, strips)...)
		lines = append(lines, v.repeats(width)...)
	}
	lines = append(lines, v.waits(width)...)
	lines = append(lines, v.unreadable(width)...)
	if v.report != nil {
		lines = append(lines, v.openChecks(width)...)
		if left {
			lines = append(lines, v.left()...)
		}
	}
	return lines
}

// top is the name of the test, the verdict so far and the alarms.
func (v *sight) top() []line {
	var lines []line
	if v.report != nil && v.report.Sheet.Report.Number != "" {
		lines = append(lines, plain.line(v.report.Sheet.Report.Number+": "+v.report.Sheet.Article.Name))
	}
	state, c := v.state()
	lines = append(lines, c.line(state))
	if v.progress != nil && v.progress.Planned > 0 {
		lines = append(lines, plain.line(fmt.Sprintf("%d of %d planned steps met, %d left to run", v.progress.Met, v.progress.Planned,
			v.progress.Planned-v.progress.Visited)))
	}
	for _, text := range v.alarms() {
		lines = append(lines, alarm.line("!! "+text))
	}
	return lines
}

// now is the newest step of the run that is going on, and the figures of the
// newest one that has all its samples.
func (v *sight) now(width int) []line {
	current := v.progress.Current
	if current == nil {
		return nil
	}
	name := "Last seen"
	if current.Going {
		name = "Now"
	}
	text := fmt.Sprintf("%s: %s", name, current.Run)
	if current.Cell >= 0 {
		c := &v.progress.Cells[current.Cell]
		text += fmt.Sprintf(", %d/%d at %s", c.Visited, c.Planned, current.Visit.Frequency())
		switch {
		case c.Left() == 0:
			text += ", none left"
		case current.Going:
			text += ", " + plan.LongTime(current.Left) + " left"
		}
	} else {
		text += fmt.Sprintf(" at %s, which is not required", current.Visit.Frequency())
	}
	if current.Waiting {
		text += "; waiting for the log"
	}
	return append([]line{{}, strong.line(text)}, wrappedLines(2, width, figures(current))...)
}

// figures are those of a step: what is not known is left out or said.
func figures(current *report.CurrentStep) string {
	visit := current.Judged
	if visit == nil {
		return ""
	}
	parts := []string{"field held no level for the dwell"}
	if quantity.Defined(visit.Sustained) {
		parts[0] = fmt.Sprintf("field %.4g/%.4g V/m", float64(visit.Sustained), float64(visit.Limit))
	}
	if quantity.Defined(visit.Margin) {
		parts = append(parts, fmt.Sprintf("margin %+.2f dB", roundTowardsVerdict(float64(visit.Margin))))
	}
	if quantity.Defined(visit.Held) {
		parts = append(parts, fmt.Sprintf("held %.1f/%.1f s", math.Floor(float64(visit.Held)*10)/10, visit.Required.Seconds()))
	}
	if h := float64(current.Headroom); quantity.Defined(current.Headroom) && !math.IsInf(h, 0) {
		parts = append(parts, fmt.Sprintf("headroom %.1f dB", math.Floor(h*10)/10))
	}
	text := fmt.Sprintf("%s: %s", visit.State, strings.Join(parts, ", "))
	if visit != current.Visit {
		text = fmt.Sprintf("before it, %s, %s", visit.Frequency(), text)
	}
	return text
}

// hasSteps reports whether a step of the cell was visited.
func (v *sight) hasSteps(cell int) bool { return v.progress.Cells[cell].Visited > 0 }

// isCurrent reports whether the newest step stands in the cell.
func (v *sight) isCurrent(cell int) bool {
	return v.progress.Current != nil && v.progress.Current.Cell == cell
}

// cells is the matrix; strips are drawn of those cells for which strip says so.
func (v *sight) cells(width int, strips func(cell int) bool) []line {
	lines := []line{{}, plain.line(fmt.Sprintf("%-18s %-12s %3s %9s %9s  %s", "range", "polarization", "pos", "steps met", "margin", "state"))}
	for i := range v.report.Cells {
		c, p := &v.report.Cells[i], &v.progress.Cells[i]
		row := plain.line(fmt.Sprintf("%-18s %-12s %3d %9s %9s  ", cellSpan(c), c.Polarization, c.Position,
			fmt.Sprintf("%d/%d", p.Met, p.Planned), leastMargin(c)))
		lines = append(lines, append(row, v.cellState(c, p)))
		if strips(i) {
			drawn := append(line{{"  [", faint}}, painted(strip(c, p, max(10, width-4)))...)
			lines = append(lines, append(drawn, piece{"]", faint}))
		}
	}
	return lines
}

// cellState says how a cell stands: while it is under way what is left, then its
// state.
func (v *sight) cellState(c *report.Cell, p *report.CellProgress) piece {
	var parts []string
	if p.Visited > 0 && p.Left() > 0 {
		parts = append(parts, fmt.Sprintf("%d left", p.Left()))
	}
	if p.Repeat > 0 {
		parts = append(parts, fmt.Sprintf("%d to repeat", p.Repeat))
	}
	if p.Visited == 0 && p.Planned > 0 {
		parts = append(parts, "not begun")
	}
	state := c.State
	if state == report.NotMet && p.Repeat == 0 && len(p.Waiting) > 0 {
		state = report.NotShown // nothing has failed yet
	}
	text := state.String()
	if len(parts) > 0 {
		text = strings.Join(parts, ", ")
	}
	return piece{marks[state] + " " + text, colours[state]}
}

// wrappedLines writes a text in lines of at most the width, each indented.
func wrappedLines(indent, width int, text string) []line {
	var lines []line
	for _, part := range wrap(text, width-indent) {
		lines = append(lines, plain.line(strings.Repeat(" ", indent)+part))
	}
	return lines
}

// fit is what a terminal of that size shows: the time on top, then as much as there
// is room for, at the bottom what to do. Where the lines are too many, what the strips
// draw as well is left out first, then the strips of all cells but the newest.
func fit(v *sight, dir string, width, height int) []line {
	head := line{{fmt.Sprintf("%s  %s", clockTime(v.at), v.looked()), faint}}
	foot := faint.line("Ctrl-C ends. Every finding: fieldheld check " + dir)
	room := max(1, height-2)
	lines := v.lines(width, v.hasSteps, true)
	for _, strips := range []func(int) bool{v.hasSteps, v.isCurrent, func(int) bool { return false }} {
		if len(lines) > room {
			lines = v.lines(width, strips, false)
		}
	}
	if len(lines) > room {
		hidden := len(lines) - room + 1
		lines = append(lines[:room-1:room-1], faint.line(fmt.Sprintf("... and %s", counted(hidden, "more line", "more lines"))))
	}
	lines = append(append([]line{head}, lines...), foot)
	for i := range lines {
		lines[i] = lines[i].cut(width)
	}
	return lines[:min(len(lines), max(1, height))]
}
