package check

import (
	"math"
	"slices"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

// idlePart is the part of a run's median forward power above which a row says
// that power was on.
const idlePart = 0.01

func findMotion(s *Subject) []Finding {
	var findings []Finding
	known := map[Evidence]int{} // index plus one of the finding of a row
	for i := range s.Day.Runs {
		run := &s.Day.Runs[i]
		if run.Motion == nil {
			continue
		}
		idle := idlePower(run, &s.Evaluated.Runs[i])
		for _, motion := range run.Motion.Motions {
			f := runFinding(&s.Evaluated.Runs[i])
			f.ActsOn = []int{i}
			s.motionFault(&f, motion, i, idle)
			if f.Text.IsZero() {
				continue
			}
			file := run.Motion.File
			row := Evidence{File: file.Path, Sheet: file.Sheet, First: motion.Row, Last: motion.Row}
			if k := known[row]; k > 0 { // two runs name the file: one finding, which acts on both
				findings[k-1].ActsOn = union(findings[k-1].ActsOn, f.ActsOn)
				continue
			}
			f.Evidence = []Evidence{row}
			findings = append(findings, f)
			known[row] = len(findings)
		}
	}
	return findings
}

func union(a, b []int) []int {
	for _, x := range b {
		if !slices.Contains(a, x) {
			a = append(a, x)
		}
	}
	return a
}

// sameAntenna reports whether two runs have the same antenna, which each has to
// name.
func (s *Subject) sameAntenna(a, b int) bool {
	antenna := s.Day.Runs[a].Sheet.Antenna
	return a == b || antenna != "" && antenna == s.Day.Runs[b].Sheet.Antenna
}

// motionFault says how power was on while elements moved; nothing when it was not.
// The antenna may be that of other runs too: it sets the range of the finding to
// that of the visits that the motion overlaps, and the runs on which it acts.
func (s *Subject) motionFault(f *Finding, motion record.Motion, run int, idle quantity.Power) {
	for other := range s.Evaluated.Runs {
		if !s.sameAntenna(run, other) {
			continue
		}
		for _, v := range slices.Concat(s.Evaluated.Runs[other].Visits, s.Evaluated.Runs[other].OtherRows) {
			if motion.Start >= v.Record.End || motion.End <= v.Record.Start {
				continue
			}
			if f.Text.IsZero() {
				f.Text = wording.Say("motion.visit", wording.Values{"frequency": v.Frequency(), "run": s.Evaluated.Runs[other].ID})
				f.From, f.To = v.Frequency(), v.Frequency()
			}
			f.From, f.To = min(f.From, v.Frequency()), max(f.To, v.Frequency())
			f.ActsOn = union(f.ActsOn, []int{other})
		}
	}
	power := s.Day.Runs[run].Power
	if !f.Text.IsZero() || power == nil || power.Times == nil {
		return
	}
	from, to := within(power.Times, motion.Start, motion.End)
	for i := from; i < to; i++ {
		if power.Forward[i] > idle {
			f.Text = wording.Say("motion.power", wording.Values{"forward": power.Forward[i], "row": power.Rows[i], "file": power.File.Path})
			return
		}
	}
}

// idlePower is the forward power, as the file writes it, up to which power counts
// as off: a part of the median over the rows within the run's visits.
func idlePower(run *ingest.Run, evaluated *evaluate.Run) quantity.Power {
	if run.Power == nil || run.Power.Times == nil {
		return quantity.Power(math.Inf(1))
	}
	var powers []float64
	times := run.Power.Times
	for _, v := range slices.Concat(evaluated.Visits, evaluated.OtherRows) {
		from, to := within(times, v.Record.Start, v.Record.End)
		for i := from; i < to; i++ {
			powers = append(powers, float64(run.Power.Forward[i]))
		}
	}
	if len(powers) == 0 {
		return 0
	}
	return quantity.Power(idlePart * medianOf(powers))
}
