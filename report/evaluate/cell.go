package evaluate

import (
	"sort"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/report/requirement"
)

// cells makes one cell for each required range, polarization and position, and
// sorts into it all visits of all runs that lie there.
func (e *evaluator) cells(day *ingest.Day, evaluated *Day) []Cell {
	var cells []Cell
	for _, polarization := range []string{"horizontal", "vertical"} {
		for position, more := 1, true; more; position++ {
			more = false
			for _, r := range e.requirement.Ranges() {
				if r.Polarization == polarization && position <= e.requirement.PositionsFor(r) {
					cells = append(cells, e.cell(day, evaluated, r, position))
					more = true
				}
			}
		}
	}
	return cells
}

func (e *evaluator) cell(day *ingest.Day, evaluated *Day, r requirement.Range, position int) Cell {
	cell := Cell{Polarization: r.Polarization, Position: position, From: r.From, To: r.To}
	cell.Resolution = cell.resolution(day, evaluated)
	var visits []*Visit
	for i := range evaluated.Runs {
		run := &evaluated.Runs[i]
		if run.Polarization != cell.Polarization || run.Position != position {
			continue
		}
		served := false
		for _, v := range run.Visits {
			if cell.holds(v.Frequency(), cell.Resolution) {
				e.setLimit(v, e.requirement.LimitNear(v.Frequency(), cell.Resolution, cell.Polarization))
				visits, served = append(visits, v), true
			}
		}
		if served {
			cell.Runs = append(cell.Runs, i)
		}
	}
	cell.group(visits)
	e.findHoles(&cell, evaluated)
	return cell
}

// holds reports whether a frequency lies in the cell's range widened by q.
func (c *Cell) holds(f, q quantity.Frequency) bool { return f.Within(c.From-q, c.To+q) }

// resolution is q of the cell: the largest of the dwell records that have a
// visit in it.
func (c *Cell) resolution(day *ingest.Day, evaluated *Day) quantity.Frequency {
	var largest quantity.Frequency
	for i := range evaluated.Runs {
		run, q := &evaluated.Runs[i], day.Runs[i].Dwell.Resolution
		if run.Polarization != c.Polarization || run.Position != c.Position || q <= largest {
			continue
		}
		for _, v := range run.Visits {
			if c.holds(v.Frequency(), q) {
				largest = q
				break
			}
		}
	}
	return largest
}

// group gathers the visits into steps: ascending, a frequency joins a group when
// it is within q/2 of the first of the group, which also names the step.
func (c *Cell) group(visits []*Visit) {
	sort.SliceStable(visits, func(i, j int) bool { return visits[i].Frequency() < visits[j].Frequency() })
	for _, v := range visits {
		f := v.Frequency()
		if n := len(c.Steps); n > 0 {
			step := &c.Steps[n-1]
			if f-step.Frequency <= c.Resolution/2+quantity.Slack*f {
				step.Visits = append(step.Visits, v)
				v.Repeats = true
				continue
			}
		}
		c.Steps = append(c.Steps, Step{Frequency: f, Limit: v.Limit, Lowest: v.Lowest, Visits: []*Visit{v}})
	}
}

// findHoles notes every part of the range without evidence.
func (e *evaluator) findHoles(c *Cell, evaluated *Day) {
	n, q := len(c.Steps), c.Resolution
	if n == 0 {
		c.Holes = []Hole{{From: c.From, To: c.To, Check: missing(c, evaluated)}}
		return
	}
	first, last := c.Steps[0], c.Steps[n-1]
	if !first.Frequency.AtOrBelow(c.From + q) {
		c.Holes = append(c.Holes, Hole{From: c.From, To: first.Frequency, Check: "coverage", After: first.Visits[0]})
	}
	for i := 0; i+1 < n; i++ {
		a, b := c.Steps[i], c.Steps[i+1]
		f := a.Frequency
		if allowed := quantity.Frequency(e.requirement.Step(f)) * f; b.Frequency-f > allowed+q+quantity.Slack*f {
			c.Holes = append(c.Holes, Hole{From: f, To: b.Frequency, Check: "step-size", Before: a.Visits[0], After: b.Visits[0]})
		}
	}
	if !(c.To - q).AtOrBelow(last.Frequency) {
		c.Holes = append(c.Holes, Hole{From: last.Frequency, To: c.To, Check: "coverage", Before: last.Visits[0]})
	}
}

// missing names the check for a cell that no run serves: polarization where no
// run has that polarization over the range, else position.
func missing(c *Cell, evaluated *Day) string {
	for _, run := range evaluated.Runs {
		if run.Polarization != c.Polarization {
			continue
		}
		for _, v := range run.Visits {
			if v.Frequency().Within(c.From, c.To) {
				return "position"
			}
		}
	}
	return "polarization"
}
