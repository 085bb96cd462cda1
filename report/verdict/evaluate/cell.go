package evaluate

import (
	"cmp"
	"slices"
	"sort"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/requirement"
)

// cells makes one cell for each required range, polarization and position, and
// sorts into it all visits of all runs that lie there.
func (e *evaluator) cells(day *ingest.Day, evaluated *Day) []Cell {
	var cells []Cell
	for i, part := range e.requirement.Cells() {
		cells = append(cells, e.cell(day, evaluated, part, i+1))
	}
	return cells
}

// cell makes a cell, of which the index plus one is given.
func (e *evaluator) cell(day *ingest.Day, evaluated *Day, part requirement.CellRange, number int) Cell {
	cell := Cell{Polarization: part.Polarization, Position: part.Position, From: part.From, To: part.To, Unknown: !part.Known,
		Swept: e.requirement.Swept(part.Range()), Listed: e.requirement.Listed(part.Range())}
	cell.Resolution = cell.resolution(day, evaluated)
	var visits []*Visit
	for i := range evaluated.Runs {
		run := &evaluated.Runs[i]
		if run.Polarization != cell.Polarization || run.Position != cell.Position {
			continue
		}
		served := false
		for _, v := range run.Visits {
			if cell.holds(v.Frequency(), cell.Resolution) {
				e.assign(v, number, e.requirement.LimitNear(v.Frequency(), cell.Resolution, cell.Polarization))
				v.Resolution = cell.Resolution
				if !cell.sweeps(v.Frequency(), cell.Resolution) {
					v.half = 0 // a listed frequency allows no step
				}
				visits, served = append(visits, v), true
			}
		}
		if served {
			cell.Runs = append(cell.Runs, i)
		}
	}
	e.group(&cell, visits)
	e.findHoles(&cell, evaluated)
	return cell
}

// holds reports whether a frequency is one that the cell asks for: it lies in a swept
// part widened by q, or within q/2 of a listed frequency.
func (c *Cell) holds(f, q quantity.Frequency) bool { return c.sweeps(f, q) || c.lists(f, q) }

// SweptAt returns the part of the range around a frequency in which neighbours have to
// keep a step; swept is false where only listed frequencies are asked for.
func (c *Cell) SweptAt(f quantity.Frequency) (part requirement.Part, swept bool) {
	for _, part := range c.Swept {
		if f.Within(part.From-c.Resolution, part.To+c.Resolution) {
			return part, true
		}
	}
	return requirement.Part{}, false
}

// ListedAlone is how many frequencies the cell asks for by name where it asks for nothing
// else; 0 where any part of it has to be swept.
func (c *Cell) ListedAlone() int {
	if len(c.Swept) > 0 {
		return 0
	}
	return len(c.Listed)
}

// Asks reports whether anything between two frequencies has to be visited.
func (c *Cell) Asks(low, high quantity.Frequency) bool {
	return len(c.Listed) == 0 ||
		slices.ContainsFunc(c.Swept, func(part requirement.Part) bool { return part.From < high && low < part.To }) ||
		slices.ContainsFunc(c.Listed, func(f quantity.Frequency) bool { return f.Within(low, high) })
}

func (c *Cell) sweeps(f, q quantity.Frequency) bool {
	return slices.ContainsFunc(c.Swept, func(part requirement.Part) bool { return f.Within(part.From-q, part.To+q) })
}

func (c *Cell) lists(f, q quantity.Frequency) bool {
	return slices.ContainsFunc(c.Listed, func(listed quantity.Frequency) bool { return stands(f, listed, q) })
}

// stands reports whether a written frequency stands for a true one.
func stands(f, listed, q quantity.Frequency) bool {
	return max(f-listed, listed-f) <= q/2+quantity.Slack*f
}

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
func (e *evaluator) group(c *Cell, visits []*Visit) {
	sort.SliceStable(visits, func(i, j int) bool { return visits[i].Frequency() < visits[j].Frequency() })
	for first := 0; first < len(visits); {
		f := visits[first].Frequency()
		behind := first + 1
		for behind < len(visits) && visits[behind].Frequency()-f <= c.Resolution/2+quantity.Slack*visits[behind].Frequency() {
			behind++
		}
		if repeatable := c.Resolution.AtOrBelow(e.discernible(c, f) / 2); repeatable {
			c.addStep(visits[first:behind])
		} else {
			for _, same := range turns(visits[first:behind]) {
				c.addStep(same)
			}
		}
		first = behind
	}
}

// addStep adds a step of visits at one written frequency.
func (c *Cell) addStep(visits []*Visit) {
	v := visits[0]
	for _, again := range visits[1:] {
		again.Repeats = true
	}
	c.Steps = append(c.Steps, Step{Frequency: v.Frequency(), Limit: v.Limit, Lowest: v.Lowest, Visits: visits})
}

// turns parts visits of one written frequency that is too coarse to say whether
// they are repeats: the k-th visits of each run, by start, make the k-th step, and
// each has to be met.
func turns(visits []*Visit) [][]*Visit {
	type identity struct {
		run       int
		frequency quantity.Frequency
	}
	sorted := slices.Clone(visits)
	slices.SortStableFunc(sorted, func(a, b *Visit) int { return cmp.Compare(a.Record.Start, b.Record.Start) })
	turn := map[identity]int{}
	var steps [][]*Visit
	for _, v := range sorted {
		id := identity{v.Run, v.Frequency()}
		k := turn[id]
		turn[id]++
		if k == len(steps) {
			steps = append(steps, nil)
		}
		steps[k] = append(steps[k], v)
	}
	return steps
}

// passedBy reports whether a run with the cell's polarization and position has visits in
// its range, none of them at a frequency that is asked for.
func (c *Cell) passedBy(evaluated *Day) bool {
	for i := range evaluated.Runs {
		run := &evaluated.Runs[i]
		if run.Polarization == c.Polarization && run.Position == c.Position &&
			slices.ContainsFunc(run.Visits, func(v *Visit) bool { return v.Frequency().Within(c.From, c.To) }) {
			return true
		}
	}
	return false
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
