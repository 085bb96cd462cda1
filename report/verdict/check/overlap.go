package check

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
)

func findOverlap(s *Subject) []Finding {
	var findings []Finding
	all := s.inTime()
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		if len(v.SharedTime) == 0 {
			return
		}
		f := visitFinding(run, v)
		f.Evidence = dwellRow(v)
		if other := all.sharing(v); other != nil {
			f.Message = fmt.Sprintf("The visit shares time with the one at %s of run %s; that time counts for neither.",
				other.Frequency(), s.Evaluated.Runs[other.Run].ID)
			if !other.IsStep() {
				f.Message = fmt.Sprintf("The visit shares time with a row that is no test step (%s, at %s, run %s); that time does not count.",
					other.Record.Purpose, other.Frequency(), s.Evaluated.Runs[other.Run].ID)
			}
			f.Evidence = joinRows(append(f.Evidence, dwellRow(other)...))
		}
		switch n := v.SharedSamples(); {
		case n == 0:
			f.State = Note
			f.Message += " No reading lies in it."
		case v.Continuous:
			f.State = Note
			f.Message += fmt.Sprintf(" Readings in it: %d; a valid stretch of %s remains.", n, seconds(v.ValidStretch))
		default:
			f.Message += fmt.Sprintf(" Readings in it: %d; no valid stretch of %s remains.", n, seconds(quantity.Seconds(v.Required.Seconds())))
		}
		f.Meaning = "The ends of rows may be wrong, or one row stands for two runs."
		findings = append(findings, f)
	})
	return findings
}

// timeOrder is all visits and other rows by their starts; latest is the last end so far.
type timeOrder struct {
	visits []*evaluate.Visit
	latest []quantity.Instant
}

func (s *Subject) inTime() timeOrder {
	var order timeOrder
	for i := range s.Evaluated.Runs {
		order.visits = append(append(order.visits, s.Evaluated.Runs[i].Visits...), s.Evaluated.Runs[i].OtherRows...)
	}
	slices.SortStableFunc(order.visits, func(a, b *evaluate.Visit) int { return cmp.Compare(a.Record.Start, b.Record.Start) })
	end := quantity.Instant(math.MinInt64)
	for _, v := range order.visits {
		end = max(end, v.Record.End)
		order.latest = append(order.latest, end)
	}
	return order
}

// sharing returns a visit that shares time with v and must not; nil for none.
func (order timeOrder) sharing(v *evaluate.Visit) *evaluate.Visit {
	behind := sort.Search(len(order.visits), func(i int) bool { return order.visits[i].Record.Start >= v.Record.End })
	for i := behind - 1; i >= 0 && order.latest[i] > v.Record.Start; i-- {
		other := order.visits[i]
		same := other.Run == v.Run && other.Frequency() == v.Frequency() && other.IsStep()
		if other != v && other.Record.End > v.Record.Start && !same {
			return other
		}
	}
	return nil
}

// joinRows joins the evidence of two rows of one file.
func joinRows(evidence []Evidence) []Evidence {
	if len(evidence) == 2 && evidence[0].File == evidence[1].File && evidence[0].Sheet == evidence[1].Sheet {
		a, b := evidence[0], evidence[1]
		a.First, a.Last = min(a.First, b.First), max(a.Last, b.Last)
		return []Evidence{a}
	}
	return evidence
}

func findCoarse(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Evaluated.Cells {
		cell := &s.Evaluated.Cells[i]
		if cell.Coarse == nil {
			continue
		}
		f := s.cellFinding(i)
		f.Evidence = dwellRow(cell.Coarse.Visits[0])
		step := float64(s.Requirement.Step(cell.Coarse.Frequency))
		f.Message = fmt.Sprintf("Frequencies are written to %s; a step of %.3g %% at %s is %s, so that the step size cannot be shown.",
			cell.Resolution, 100*step, cell.Coarse.Frequency, cell.Coarse.Frequency*quantity.Frequency(step))
		f.Meaning = "Let the dwell record write more digits, or state frequency_resolution where they are exact."
		findings = append(findings, f)
	}
	return findings
}

func findLevelling(s *Subject) []Finding {
	var findings []Finding
	s.required(func(run *evaluate.Run, v *evaluate.Visit) {
		for i := range v.Sources {
			p := &v.Sources[i]
			if !p.Levelled {
				continue
			}
			f := visitFinding(run, v)
			f.Evidence = windowOf(p)
			f.Message = fmt.Sprintf("The readings fall by the factor of the modulation in mid-visit: the level seems to have been set unmodulated and the modulation switched on after %d readings, so that the first part was not the required field.",
				p.SecondPart)
			f.Meaning = "State settle so that the unmodulated part does not count, or give the modulated part a row of its own."
			findings = append(findings, f)
			return
		}
	})
	return findings
}
