package check

import (
	"fmt"
	"math"

	"fieldheld/ingest"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/report/evaluate"
)

// idlePart is the part of a run's median forward power above which a row says
// that power was on.
const idlePart = 0.01

func findMotion(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Day.Runs {
		run := &s.Day.Runs[i]
		if run.Motion == nil {
			continue
		}
		idle := idlePower(run, &s.Evaluated.Runs[i])
		for _, motion := range run.Motion.Motions {
			f := runFinding(&s.Evaluated.Runs[i])
			f.Message = motionFault(&f, motion, run, &s.Evaluated.Runs[i], idle)
			if f.Message == "" {
				continue
			}
			file := run.Motion.File
			f.Evidence = []Evidence{{File: file.Path, Sheet: file.Sheet, First: motion.Row, Last: motion.Row}}
			f.Meaning = "Power on moving contacts can burn the antenna, damage the amplifier and hurt people."
			findings = append(findings, f)
		}
	}
	return findings
}

// motionFault says how power was on while elements moved; "" when it was not.
// It sets the range of the finding to that of the visits that the motion overlaps.
func motionFault(f *Finding, motion record.Motion, run *ingest.Run, evaluated *evaluate.Run, idle quantity.Power) string {
	message := ""
	for _, v := range evaluated.Visits {
		if motion.Start >= v.Record.End || motion.End <= v.Record.Start {
			continue
		}
		if message == "" {
			message = fmt.Sprintf("Antenna elements moved during the visit at %s.", v.Frequency())
			f.From, f.To = v.Frequency(), v.Frequency()
		}
		f.From, f.To = min(f.From, v.Frequency()), max(f.To, v.Frequency())
	}
	if message != "" || run.Power == nil || run.Power.Times == nil {
		return message
	}
	times := run.Power.Times
	from, to := within(times, motion.Start, motion.End)
	for i := from; i < to; i++ {
		if run.Power.Forward[i] > idle {
			return fmt.Sprintf("Antenna elements moved while the forward power read %s (row %d of %s).",
				run.Power.Forward[i], run.Power.Rows[i], run.Power.File.Path)
		}
	}
	return ""
}

// idlePower is the forward power, as the file writes it, up to which power counts
// as off: a part of the median over the rows within the run's visits.
func idlePower(run *ingest.Run, evaluated *evaluate.Run) quantity.Power {
	if run.Power == nil || run.Power.Times == nil {
		return quantity.Power(math.Inf(1))
	}
	var powers []float64
	times := run.Power.Times
	for _, v := range evaluated.Visits {
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
