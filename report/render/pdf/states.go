package pdf

import (
	"fmt"
	"strings"

	"fieldheld/charts"
	"fieldheld/report"
	"fieldheld/report/render/layout"
)

// proof is the mark of a state.
func proof(s report.State) charts.Proof {
	switch s {
	case report.Met:
		return charts.Met
	case report.MetWithDeviations:
		return charts.MetWithDeviations
	case report.NotMet:
		return charts.NotMet
	default:
		return charts.NotShown
	}
}

// stateCell is a state as mark and word. A visit where nothing is required has
// no mark.
func stateCell(s report.State) layout.Cell {
	c := layout.Cell{Text: s.String()}
	if s != report.NotRequired {
		mark := proof(s)
		c.Mark = &mark
	}
	return c
}

// cellName is how a cell is called in heads: "Horizontal, position 1, 30 – 200 MHz".
func cellName(c *report.Cell) string {
	return capital(fmt.Sprintf("%s, position %d, %s", c.Polarization, c.Position, cellFrequencies(c)))
}

func cellAnchor(i int) string    { return fmt.Sprintf("cell/%d", i) }
func runAnchor(i int) string     { return fmt.Sprintf("run/%d", i) }
func findingAnchor(i int) string { return fmt.Sprintf("finding/%d", i) }

func visitAnchor(ref report.VisitRef) string {
	if ref.Run == 0 || ref.Visit == 0 {
		return ""
	}
	return fmt.Sprintf("visit/%d/%d", ref.Run, ref.Visit)
}

func capital(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[0])) + string(r[1:])
}

// plural writes "1 step", "3 steps".
func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}

// strip is the strip of some cells: one row for each polarization and position.
func strip(r *report.Report, cells []int) charts.Strip {
	var s charts.Strip
	rows := map[string]int{}
	for _, i := range cells {
		c := &r.Cells[i]
		label := fmt.Sprintf("%s, position %d", c.Polarization, c.Position)
		row, known := rows[label]
		if !known {
			row = len(s.Rows)
			rows[label] = row
			s.Rows = append(s.Rows, charts.StripRow{Label: label})
		}
		s.Rows[row].Bands = append(s.Rows[row].Bands, stripBand(c))
		if s.Frequencies.From == 0 || float64(c.From) < s.Frequencies.From {
			s.Frequencies.From = float64(c.From)
		}
		s.Frequencies.To = max(s.Frequencies.To, float64(c.To))
	}
	s.Frequencies = drawable(s.Frequencies)
	return s
}

// drawable widens a range of one frequency a little, so that it can be drawn.
func drawable(r charts.Range) charts.Range {
	if r.To > r.From {
		return r
	}
	return charts.Range{From: r.From * 0.99, To: r.From * 1.01}
}

// cellFrequencies writes the range of a cell, with the number of frequencies where only
// these are asked for.
func cellFrequencies(c *report.Cell) string {
	switch n := c.ListedAlone(); {
	case n == 1:
		return frequency(c.From)
	case n > 1:
		return fmt.Sprintf("%d in %s", n, frequencies(c.From, c.To))
	}
	return frequencies(c.From, c.To)
}

// within is the swept part of a cell in which a step lies, or the step alone where only
// listed frequencies are asked for.
func within(c *report.Cell, step *report.Step) charts.Range {
	if len(c.Listed) == 0 {
		return charts.Range{}
	}
	if part, swept := c.SweptAt(step.Frequency); swept {
		return charts.Range{From: float64(part.From), To: float64(part.To)}
	}
	return charts.Range{From: float64(step.Frequency), To: float64(step.Frequency)}
}

func stripBand(c *report.Cell) charts.StripBand {
	band := charts.StripBand{Range: charts.Range{From: float64(c.From), To: float64(c.To)}}
	for i := range c.Steps {
		step := &c.Steps[i]
		band.Steps = append(band.Steps, charts.StripStep{Frequency: float64(step.Frequency), State: proof(step.State), Within: within(c, step)})
	}
	for _, h := range c.Holes {
		hole := charts.Range{From: float64(h.From), To: float64(h.To)}
		band.Holes = append(band.Holes, hole)
		if h.Accepted {
			band.Accepted = append(band.Accepted, hole)
		}
	}
	return band
}

// allCells lists the indices of all cells.
func allCells(r *report.Report) []int {
	list := make([]int, len(r.Cells))
	for i := range list {
		list[i] = i
	}
	return list
}

// joinRuns writes the names of runs: "H1, V1".
func joinRuns(runs []string) string {
	if len(runs) == 0 {
		return undefined
	}
	return strings.Join(runs, ", ")
}
