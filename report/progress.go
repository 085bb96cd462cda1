package report

import (
	"slices"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/plan"
)

// Progress is how far a day that is still being tested has come. It decides
// nothing: states are those of the report, and what was not evaluated is in none
// of its counts but Planned.
type Progress struct {
	Planned, Visited, Met int
	Cells                 []CellProgress // in the order of Report.Cells
	Waiting               []Repeat       // steps whose log does not reach to their end yet
	Repeat                []Repeat       // steps that were visited and have to be run again
	Current               *CurrentStep   // the newest step of the run that is going on, else of the day; nil where there is none
}

// CellProgress is how far one cell has come.
type CellProgress struct {
	Planned int // steps: those visited, and those that fill what is left
	Visited int
	Met     int
	Repeat  int
	Waiting map[int]bool // indices of steps that wait for a log
}

// Left is how many steps were not visited yet.
func (c *CellProgress) Left() int { return c.Planned - c.Visited }

// CurrentStep is the newest visit of a run.
type CurrentStep struct {
	Run      string
	Going    bool // whether the run is going on
	Visit    *Visit
	Cell     int              // index in Report.Cells; -1 for a step that is not required
	Waiting  bool             // its log does not reach to its end yet
	Judged   *Visit           // the newest visit of the run that waits for nothing: Visit, one before it, or nil
	Headroom quantity.Decibel // of the forward power of Judged under forward_max; NaN where one is not known
	Left     time.Duration    // that the steps left in its cell take at the pace of the run
}

// Progress says how far the day has come. Going is the id of the run that is going
// on, "" where none is known to be: only its steps can wait for a log, because
// nothing more is written to those of other runs.
func (r *Report) Progress(going string) *Progress {
	p := &Progress{Cells: make([]CellProgress, len(r.Cells))}
	waits := r.waiting(going)
	for i := range r.Cells {
		c, cell := &p.Cells[i], &r.Cells[i]
		*c = CellProgress{Visited: len(cell.Steps), Planned: len(cell.Steps), Met: cell.StepsMet, Waiting: map[int]bool{}}
		for k := range cell.Steps {
			if stepWaits(&cell.Steps[k], waits) {
				c.Waiting[k] = true
			}
		}
	}
	for _, entry := range r.Repeat {
		i, step := r.placeOf(entry)
		switch {
		case i < 0:
			p.Repeat = append(p.Repeat, entry)
		case entry.Hole:
			p.Cells[i].Planned++
		case p.Cells[i].Waiting[step]:
			p.Waiting = append(p.Waiting, entry)
		default:
			p.Cells[i].Repeat++
			p.Repeat = append(p.Repeat, entry)
		}
	}
	for i := range p.Cells {
		p.Planned += p.Cells[i].Planned
		p.Visited += p.Cells[i].Visited
		p.Met += p.Cells[i].Met
	}
	p.Current = r.current(p, going, waits)
	return p
}

// placeOf finds the cell of an entry of the repeat list, and its step; -1 where
// there is none.
func (r *Report) placeOf(entry Repeat) (cell, step int) {
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Polarization != entry.Polarization || c.Position != entry.Position ||
			!c.From.AtOrBelow(entry.Frequency) || !entry.Frequency.AtOrBelow(c.To) {
			continue
		}
		step = slices.IndexFunc(c.Steps, func(s Step) bool { return s.Frequency == entry.Frequency })
		if entry.Hole || step >= 0 {
			return i, step
		}
	}
	return -1, -1
}

// waiting returns the visits of the run that end after the last row of one of
// their logs. The log of a probe that was changed has to reach to the change only.
func (r *Report) waiting(going string) map[*Visit]bool {
	waits := map[*Visit]bool{}
	for i := range r.Runs {
		if r.Runs[i].ID != going {
			continue
		}
		for _, v := range r.Runs[i].Visits {
			sheet := r.Runs[i].Sheet
			waits[v] = slices.ContainsFunc(sheet.Files(), func(f jobsheet.NamedFile) bool {
				if f.Role != jobsheet.ProbeFile {
					return false
				}
				from, to := sheet.Probes[f.Probe].Valid()
				if to < v.Record.End {
					return false // it was taken away, and nothing more of it is to come
				}
				last := r.lastOf(f.Entry.File)
				return from < v.Record.End && (last.IsZero() || quantity.InstantOf(last) < v.Record.End)
			})
		}
	}
	return waits
}

// CellOf returns the index of the cell in which an entry of the repeat list lies; -1
// where there is none.
func (r *Report) CellOf(entry Repeat) int {
	cell, _ := r.placeOf(entry)
	return cell
}

// lastOf is the last time in a file; zero where it has none.
func (r *Report) lastOf(path string) time.Time {
	for i := range r.Files {
		if r.Files[i].Path == path {
			return r.Files[i].Last
		}
	}
	return time.Time{}
}

// stepWaits reports whether a step is not met and a visit of it waits for its log.
func stepWaits(s *Step, waits map[*Visit]bool) bool {
	return s.State != Met && s.State != MetWithDeviations && slices.ContainsFunc(s.Visits, func(v *Visit) bool { return waits[v] })
}

// current finds the newest visit of the run that is going on, else of the day.
func (r *Report) current(p *Progress, going string, waits map[*Visit]bool) *CurrentStep {
	var newest *CurrentStep
	var of *Run
	for i := range r.Runs {
		run := &r.Runs[i]
		if going != "" && run.ID != going {
			continue
		}
		for _, v := range run.Visits {
			if newest == nil || v.Record.End > newest.Visit.Record.End {
				newest, of = &CurrentStep{Run: run.ID, Going: run.ID == going, Visit: v, Waiting: waits[v]}, run
			}
		}
	}
	if newest == nil {
		return nil
	}
	newest.Headroom = quantity.Undefined[quantity.Decibel]()
	for _, v := range of.Visits {
		if !waits[v] && (newest.Judged == nil || v.Record.End > newest.Judged.Record.End) {
			newest.Judged, newest.Headroom = v, of.Sheet.ForwardMax.Over(v.Power.Forward)
		}
	}
	newest.Cell = r.cellOf(newest.Visit)
	if newest.Cell >= 0 {
		newest.Left = time.Duration(p.Cells[newest.Cell].Left()) * r.pace(of)
	}
	return newest
}

// cellOf returns the index of the cell that has a visit; -1 where none has.
func (r *Report) cellOf(v *Visit) int {
	for i := range r.Cells {
		for k := range r.Cells[i].Steps {
			if slices.Contains(r.Cells[i].Steps[k].Visits, v) {
				return i
			}
		}
	}
	return -1
}

// Visits by which the pace of a run is told: at least, and at most the newest.
const (
	fewestForPace = 4
	mostForPace   = 21
)

// pace is the time from step to step: the median over the newest visits of a run,
// so that a break counts for nothing; what a plan says where they are few.
func (r *Report) pace(run *Run) time.Duration {
	var starts []quantity.Instant
	for _, v := range run.Visits {
		starts = append(starts, v.Record.Start)
	}
	slices.Sort(starts)
	starts = starts[max(0, len(starts)-mostForPace):]
	if len(starts) < fewestForPace {
		levelling := plan.DefaultLevelling
		if stated := r.Sheet.Plan.Levelling; stated != nil {
			levelling = *stated
		}
		return r.Requirement.Settle + levelling + r.Requirement.Required()
	}
	var distances []int64
	for i := 1; i < len(starts); i++ {
		distances = append(distances, int64(starts[i].Sub(starts[i-1])))
	}
	return time.Duration(quantity.Median(distances))
}
