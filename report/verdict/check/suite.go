package check

import (
	"fieldheld/ingest"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
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
	Weight
}

// Weight is what an open finding of a check makes of its visit or cell.
type Weight int

// The weights of checks.
const (
	Notes Weight = iota // its findings decide nothing
	Asks                // they stay open until they are answered, and change no cell
	Lacks               // evidence is missing: at best not shown
	Fails               // the measurement failed: at best not met
)

// Decides reports whether open findings of the weight decide visits or cells.
func (w Weight) Decides() bool { return w >= Lacks }

// Leaves is the best state that a visit or cell can have while a finding that
// decides is open.
func (w Weight) Leaves() State {
	if w == Fails {
		return NotMet
	}
	return NotShown
}

// Suite returns every check, in the order of their weight. A new check is one
// file and one line here; its name also goes into jobsheet.Checks.
func Suite() []Check {
	return []Check{
		{"level", "the sustained field does not pass the decision rule", findLevel, Fails},
		{"overlevel", "the maximum is above the upper tolerance", findOverlevel, Fails},
		{"dwell", "no continuous stretch as long as the required dwell, or too few samples in it", findDwell, Fails},
		{"overlap", "a visit shares time with another visit, which counts for neither; it decides where no valid stretch remains", findOverlap, Lacks},
		{"coarse", "frequencies written too coarsely to show the step size", findCoarse, Lacks},
		{"levelling", "the level was set unmodulated and the modulation switched on within a visit", findLevelling, Lacks},
		{"step-size", "two neighbours further apart than the step allows", findHoles("step-size"), Lacks},
		{"coverage", "the required range does not begin or end where it must, or a listed frequency was not visited", findHoles("coverage"), Lacks},
		{"polarization", "a required polarization that no run serves", findHoles("polarization"), Lacks},
		{"position", "a required antenna position that no run serves, or a number of positions that is not known", findPositions, Lacks},
		{"samples", "a visit during which a probe has no sample at all", findSamples, Lacks},
		{"correction-range", "a correction table that does not reach a visit's frequency", findCorrectionRange, Lacks},
		{"modulation", "a visit's modulation is not the required one", findModulation, Fails},
		{"calibration", "an asset out of its calibration on a test date, or with none stated where it is required", findCalibration, Lacks},
		{"equipment", "an asset of a run that the list lacks, or that does not cover the frequency range", findEquipment, Lacks},
		{"probe-fault", "readings that cannot be trusted; it decides where no valid stretch of the required time remains", findProbeFault, Lacks},
		{"frequency-agreement", "readings or power rows of another frequency than the visit's; for readings it decides where no valid stretch remains", findFrequencyAgreement, Lacks},
		{"harmonic", "a harmonic that leaves no field, or that needs a look", findHarmonic, Lacks},
		{"observation", "an observation in a dwell record that no event takes up", findObservation, Asks},
		{"tuning", "a tuning made for another polarization or chamber, or after the run", findTuning, Fails},
		{"motion", "forward power while antenna elements moved", findMotion, Fails},
		{"power", "reflected above forward, forward above the rating, no power for a visit, power that cannot be", findPower, Notes},
		{"mismatch", "a VSWR above the limit that the job sheet sets", findMismatch, Notes},
		{"linearity", "field per root watt that jumps against its neighbours or within a visit", findLinearity, Notes},
		{"clock", "two files whose clocks seem apart", findClock, Notes},
		{"record", "rows that cannot be read or run backwards, duplicate rows", findRecord, Notes},
		{"environment", "temperature, humidity or pressure outside their limits", findEnvironment, Notes},
		{"event", "a susceptibility event at no visited frequency, or with a threshold above the level reached", findEvent, Notes},
		{"deviation", "a deviation that covers no finding", nil, Notes}, // found by Judge, after the others
	}
}

// Find applies every check of the suite and returns the findings in its order.
func Find(s *Subject) []Finding {
	var findings []Finding
	for _, c := range Suite() {
		if c.Find == nil {
			continue
		}
		for _, f := range c.Find(s) {
			f.Check = c.Name
			if f.State == "" {
				f.State = Open
				if c.Weight == Notes {
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
			if v.IsRequired() {
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

// cellFinding begins a finding of a whole cell, given by its index.
func (s *Subject) cellFinding(i int) Finding {
	cell := &s.Evaluated.Cells[i]
	f := Finding{Polarization: cell.Polarization, Position: cell.Position, From: cell.From, To: cell.To, Cell: i + 1}
	if len(cell.Runs) == 1 {
		f.Run = s.Evaluated.Runs[cell.Runs[0]].ID
	}
	return f
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

// windowOf is the evidence of a visit's window in the log of one of its sources; in
// all of its logs where the probe was changed within the visit.
func windowOf(p *evaluate.SourceFigures) []Evidence {
	var evidence []Evidence
	for _, part := range p.Each() {
		evidence = append(evidence, Evidence{File: part.File, First: part.Window.First, Last: part.Window.Last})
	}
	return evidence
}

// levelWindow is the evidence of a visit's window in the log that gives its level.
func levelWindow(v *evaluate.Visit) []Evidence {
	p := &v.Sources[v.Deciding]
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
