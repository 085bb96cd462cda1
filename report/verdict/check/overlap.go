package check

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
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
		with := wording.Values{"run": "", "frequency": "", "purpose": "", "readings": v.SharedSamples(), "remains": "", "required": seconds(quantity.Seconds(v.Required.Seconds()))}
		if other := all.sharing(v); other != nil {
			with["frequency"], with["run"], with["purpose"] = other.Frequency(), s.Evaluated.Runs[other.Run].ID, otherPurpose(other)
			f.Evidence = joinRows(append(f.Evidence, dwellRow(other)...))
		}
		if v.SharedSamples() == 0 || v.Continuous {
			f.State = Note
		}
		if v.Continuous {
			with["remains"] = seconds(v.ValidStretch)
		}
		f.Text = wording.Say("overlap", with)
		findings = append(findings, f)
	})
	return findings
}

// otherPurpose is what a row was made for that is no test step; "" for a step.
func otherPurpose(v *evaluate.Visit) string {
	if v.IsStep() {
		return ""
	}
	return string(v.Record.Purpose)
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
		f.Text = s.coarse(cell)
		findings = append(findings, f)
	}
	return findings
}

// coarse says why frequencies are written too coarsely: for the step, or to tell a
// listed frequency from others.
func (s *Subject) coarse(cell *evaluate.Cell) wording.Text {
	f := cell.Coarse.Frequency
	with := wording.Values{"resolution": cell.Resolution, "step": percent(s.Requirement.Step(f)), "frequency": f,
		"width": s.Requirement.StepWidth(f)}
	if s.Requirement.IsAbsolute(f) {
		with["step"] = s.Requirement.StepWidth(f)
	}
	if _, swept := cell.SweptAt(f); swept && s.Requirement.StepWidth(f) < cell.Resolution {
		return wording.Say("coarse", with)
	}
	return wording.Say("coarse.listed", wording.Values{"resolution": cell.Resolution, "frequency": f})
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
			f.Text = wording.Say("levelling", wording.Values{"readings": p.SecondPart})
			findings = append(findings, f)
			return
		}
	})
	return findings
}
