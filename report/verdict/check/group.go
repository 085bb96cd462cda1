package check

import (
	"fmt"

	"fieldheld/report/verdict/evaluate"
)

// group joins findings of one check, state, run and cause over neighbouring steps
// of a cell, or over neighbouring rows of a file: whoever reads them reads one
// thing, with a count and a range. A finding that stands alone has no group.
func group(findings []Finding, day *evaluate.Day) {
	place := map[VisitRef]int{} // of the visit's step, counted through all cells with gaps between them
	next := 0
	for i := range day.Cells {
		for k := range day.Cells[i].Steps {
			for _, v := range day.Cells[i].Steps[k].Visits {
				place[refOf(v)] = next
			}
			next++
		}
		next++
	}
	type last struct{ index, place int }
	before := map[string]last{}
	groups := 0
	for i := range findings {
		f := &findings[i]
		key := fmt.Sprintf("%s|%s|%s|%s|%d", f.Check, f.State, f.Run, f.Cause, f.Deviation)
		var from, to int
		switch {
		case f.Visit != (VisitRef{}):
			from = place[f.Visit]
			to = from
		case len(f.Evidence) == 1 && f.Evidence[0].First > 0 && f.Hole == 0:
			from, to = f.Evidence[0].First, f.Evidence[0].Last
			key += "|" + f.Evidence[0].File + "|" + f.Evidence[0].Sheet
		default:
			continue
		}
		if b, ok := before[key]; ok && from-b.place <= 1 && b.place-from <= 1 {
			if findings[b.index].Group == 0 {
				groups++
				findings[b.index].Group = groups
			}
			f.Group = findings[b.index].Group
		}
		before[key] = last{i, to}
	}
}
