package report

import (
	"fmt"
	"math"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/report/seal/evidence"
	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
	"fieldheld/templates/wording"
)

// Build reads and evaluates the day in an open folder. The error is a
// *place.Error where the day's files cannot be trusted.
func Build(folder *ingest.Folder, program Program) (*Report, error) {
	r, err := resolve(folder)
	if err != nil {
		return nil, err
	}
	day, err := folder.Read(r.MaxGap)
	if err != nil {
		return nil, err
	}
	statement := uncertaintyOf(day.Sheet.Uncertainty)
	pieces, uncovered := budgets(day.Sheet, statement, testedWith(day, r))
	budget := largest(statement, pieces)
	if err := append(uncovered, canJudge(day, r, budget, len(uncovered) > 0)...).Err(); err != nil {
		return nil, err
	}
	evaluated, err := evaluate.Evaluate(day, r, statement)
	if err != nil {
		return nil, fmt.Errorf("evaluating the day: %w", err)
	}
	annexes, err := annexes(folder, day)
	if err != nil {
		return nil, err
	}
	subject := &check.Subject{Day: day, Evaluated: evaluated, Requirement: r}
	verdict := check.Judge(subject)
	c := &composer{subject: subject, verdict: &verdict, program: program, annexes: annexes, budget: budget, budgets: pieces}
	return c.compose(), nil
}

// resolve finds the requirement that the job sheet names and applies to it what
// the sheet overrides.
func resolve(folder *ingest.Folder) (*requirement.Requirement, error) {
	sheet := folder.Sheet
	var r *requirement.Requirement
	var err error
	if sheet.Requirement.File != "" {
		var data []byte
		data, err = folder.Bytes(sheet.Requirement.File, ingest.RoleRequirement, ingest.LargestRequirement)
		if err != nil {
			where := sheet.Requirement.Place
			where.Key += ".file"
			return nil, place.NewError(where, wording.Say("requirement.file-unreadable", wording.Values{"error": err}))
		}
		r, err = requirement.Parse(data, sheet.Requirement.File)
	} else {
		r, err = requirement.Builtin(sheet.Requirement.Profile)
	}
	if err != nil {
		return nil, err
	}
	return r.Apply(sheet.Requirement, sheet.Article)
}

// canJudge reports what the verdict needs and the job sheet does not say.
func canJudge(day *ingest.Day, r *requirement.Requirement, budget *uncertainty.Budget, uncovered bool) place.Messages {
	messages := day.Sheet.CheckDetectors(func(i int) bool {
		run := &day.Runs[i]
		for k := range run.Visits {
			if evaluate.ModulationOf(run, k, r).Kind != quantity.CW {
				return true
			}
		}
		return false
	})
	messages = append(messages, modulationFactors(day, r)...)
	if r.Rule.Guarded && !uncovered && (budget == nil || !(budget.Standard > 0)) {
		where := day.Sheet.Requirement.Place
		where.Key += ".decision"
		messages.Add(place.Message{Place: where, Text: wording.Say("requirement.guarded-without-uncertainty", nil)})
	}
	return messages
}

// farFactor is how far a measured modulation factor may lie from the one that is
// computed for the probe's detector before one of the two has to be wrong.
const farFactor quantity.Decibel = 2

// modulationFactors reports measured factors of probes that lie far from the one
// computed for their detector.
func modulationFactors(day *ingest.Day, r *requirement.Requirement) place.Messages {
	var messages place.Messages
	for i := range day.Runs {
		run := &day.Runs[i]
		for _, probe := range run.Probes {
			from, to := probe.Sheet.Valid()
			for k := range run.Visits {
				if run.Visits[k].End <= from || to <= run.Visits[k].Start {
					continue // the probe was not in use
				}
				m := evaluate.ModulationOf(run, k, r)
				computed, err := m.LevelFactor(probe.Sheet.Detector, r.OfPeak)
				measured := probe.Sheet.ModulationFactor
				if err != nil || m.Kind == quantity.CW || probe.Sheet.Unmodulated || !quantity.Defined(measured) ||
					math.Abs(float64((measured/computed).FieldDecibel())) <= float64(farFactor+quantity.LevelSlack) {
					continue
				}
				where := probe.Sheet.Place
				where.Key += ".modulation_factor"
				messages.Add(place.Message{Place: where, Text: wording.Say("probe.far-modulation-factor", wording.Values{"measured": float64(measured),
					"computed": float64(computed), "modulation": m, "detector": probe.Sheet.Detector})})
				break
			}
		}
	}
	return messages
}

// composer puts what was read, evaluated and found into the report's model.
type composer struct {
	subject *check.Subject
	verdict *check.Verdict
	program Program
	annexes []Annex
	budget  *uncertainty.Budget // the largest
	budgets []uncertainty.Piece
}

func (c *composer) compose() *Report {
	day, evaluated := c.subject.Day, c.subject.Evaluated
	r := &Report{
		State: dayStates[c.verdict.State], Sheet: day.Sheet, Requirement: c.subject.Requirement, Budget: c.budget, Budgets: c.budgets,
		Findings: c.verdict.Findings, Program: c.program, Annexes: c.annexes,
	}
	for i := range evaluated.Cells {
		r.Cells = append(r.Cells, c.cell(i))
	}
	for i := range evaluated.Runs {
		r.Runs = append(r.Runs, c.run(i))
	}
	for _, repeat := range c.verdict.Repeat {
		r.Repeat = append(r.Repeat, Repeat(repeat))
	}
	for i := range day.Equipment {
		r.Equipment = append(r.Equipment, c.equipment(&day.Equipment[i]))
	}
	r.Corrections = c.corrections()
	r.Files = c.files()
	r.ManifestDigest = manifestDigest(r.Files)
	r.FirstTest, r.LastTest = c.testTimes()
	r.Events = c.events()
	r.Incidents = incidents(day.Sheet)
	r.Example = c.example()
	r.Answer, r.InNumbers = answer(r), inNumbers(r)
	r.Behaviour = behaviour(r)
	r.Omitted = omissions(day.Sheet)
	r.Items = items(r)
	r.Missing = missing(r)
	return r
}

// dayStates turns the state over all cells into the verdict on the day.
var dayStates = map[State]DayState{
	Met: Demonstrated, MetWithDeviations: DemonstratedWithDeviations, NotMet: NotDemonstrated, NotShown: NotDemonstrated,
}

func (c *composer) zone() *time.Location { return c.subject.Day.Sheet.Report.Zone }

// manifestDigest is the digest of the manifest of all input files.
func manifestDigest(files []File) string {
	entries := make([]evidence.Entry, len(files))
	for i, file := range files {
		entries[i] = evidence.Entry{Path: file.Path, SHA256: file.SHA256}
	}
	return evidence.ManifestDigest(entries)
}
