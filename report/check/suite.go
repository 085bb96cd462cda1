package check

import (
	"fieldheld/ingest"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report/evaluate"
	"fieldheld/report/requirement"
	"fieldheld/report/uncertainty"
)

// Subject is what the checks look at.
type Subject struct {
	Day         *ingest.Day
	Evaluated   *evaluate.Day
	Requirement *requirement.Requirement
	Budget      *uncertainty.Budget // nil where no uncertainty is stated
}

// Check is one thing that can be wrong with a day.
type Check struct {
	Name string
	Doc  string // one line for users: what it finds
	Find func(*Subject) []Finding
	// Lacking says what an open finding of the check makes of its visit or cell:
	// NotMet where the measurement failed, NotShown where evidence is missing.
	// Notes have none.
	Lacking evaluate.State
	Decides bool
}

// Suite returns every check, in the order of their weight. A new check is one
// file and one line here; its name also goes into jobsheet.Checks.
func Suite() []Check {
	const failed, missing = evaluate.NotMet, evaluate.NotShown
	return []Check{
		{"level", "the sustained field does not pass the decision rule", findLevel, failed, true},
		{"overlevel", "the maximum is above the upper tolerance", findOverlevel, failed, true},
		{"dwell", "no continuous stretch as long as the required dwell", findDwell, failed, true},
		{"step-size", "two neighbours further apart than the step allows", findHoles("step-size"), missing, true},
		{"coverage", "the required range does not begin or end where it must", findHoles("coverage"), missing, true},
		{"polarization", "a required polarization that no run serves", findHoles("polarization"), missing, true},
		{"position", "a required antenna position that no run serves", findHoles("position"), missing, true},
		{"samples", "a visit without a usable probe sample", findSamples, missing, true},
		{"correction-range", "a correction table that does not reach a visit's frequency", findCorrectionRange, missing, true},
		{"modulation", "a visit's modulation is not the required one", findModulation, failed, true},
		{"calibration", "an asset out of its calibration on a test date, or with none stated where it is required", findCalibration, missing, true},
		{"equipment", "an asset of a run that the list lacks, or that does not cover the frequency range", findEquipment, missing, true},
		{"probe-fault", "invalid samples; it decides where no valid stretch of the required time remains", findProbeFault, missing, true},
		{"frequency-agreement", "probe log or power file give another frequency than the dwell record", findFrequencyAgreement, failed, true},
		{"tuning", "a tuning made for another polarization or chamber, or after the run", findTuning, failed, true},
		{"motion", "forward power while antenna elements moved", findMotion, failed, true},
		{"power", "reflected above forward, forward above the rating, no power for a visit", findPower, missing, false},
		{"mismatch", "a VSWR above the limit that the job sheet sets", findMismatch, missing, false},
		{"linearity", "field per root watt that jumps against its neighbours or within a visit", findLinearity, missing, false},
		{"harmonic", "a harmonic too strong beside its fundamental, or one that the readings cannot be corrected for", findHarmonic, missing, false},
		{"clock", "two files whose clocks seem apart", findClock, missing, false},
		{"record", "rows that cannot be read, visits that overlap or run backwards, duplicate rows", findRecord, missing, false},
		{"environment", "temperature, humidity or pressure outside their limits", findEnvironment, missing, false},
		{"event", "a susceptibility event at no visited frequency, or with a threshold above the level reached", findEvent, missing, false},
		{"deviation", "a deviation that covers no finding", nil, missing, false}, // found by Judge, after the others
	}
}

// Run applies every check of the suite and returns the findings in its order.
func Run(s *Subject) []Finding {
	var findings []Finding
	for _, c := range Suite() {
		if c.Find == nil {
			continue
		}
		for _, f := range c.Find(s) {
			f.Check = c.Name
			if f.State == "" {
				f.State = Open
				if !c.Decides {
					f.State = Note
				}
			}
			findings = append(findings, f)
		}
	}
	return findings
}

// required calls f for every visit that belongs to a cell, in the order of runs
// and of their dwell records.
func (s *Subject) required(f func(run *evaluate.Run, v *evaluate.Visit)) {
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		for _, v := range run.Visits {
			if v.State != evaluate.NotRequired {
				f(run, v)
			}
		}
	}
}

// visitFinding begins a finding of one visit.
func visitFinding(run *evaluate.Run, v *evaluate.Visit) Finding {
	return Finding{Run: run.ID, Polarization: run.Polarization, Position: run.Position,
		From: v.Frequency(), To: v.Frequency(), Visit: VisitRef{Run: v.Run + 1, Visit: v.Index + 1}}
}

// runFinding begins a finding of a whole run.
func runFinding(run *evaluate.Run) Finding {
	undefined := quantity.Undefined[quantity.Frequency]()
	return Finding{Run: run.ID, Polarization: run.Polarization, Position: run.Position, From: undefined, To: undefined}
}

// dayFinding begins a finding that belongs to no single run.
func dayFinding() Finding {
	undefined := quantity.Undefined[quantity.Frequency]()
	return Finding{From: undefined, To: undefined}
}

// dwellRow is the evidence of a visit's row in its dwell record.
func dwellRow(v *evaluate.Visit) []Evidence {
	return []Evidence{{File: v.DwellFile, First: v.Record.Row, Last: v.Record.Row}}
}

// windowOf is the evidence of a visit's window in the log of one of its probes.
func windowOf(p *evaluate.ProbeFigures) []Evidence {
	return []Evidence{{File: p.File, First: p.Window.First, Last: p.Window.Last}}
}

// jobSheet is the evidence of something that the job sheet says or lacks.
func (s *Subject) jobSheet() []Evidence {
	return []Evidence{{File: s.Day.Sheet.Place.File}}
}

// sheetOf is the evidence of something that a certain job sheet says: that of
// the test, or that of one of its days.
func (s *Subject) sheetOf(where place.Place) []Evidence {
	if where.File == "" {
		return s.jobSheet()
	}
	return []Evidence{{File: where.File}}
}
