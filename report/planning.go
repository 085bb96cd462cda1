package report

import (
	"slices"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/report/plan"
	"fieldheld/report/verdict/requirement"
	"fieldheld/report/verdict/uncertainty"
)

// BuildPlan makes the plan of the test in an open folder. The error is a
// *place.Error where the files of the folder cannot be trusted.
func BuildPlan(folder *ingest.Folder) (*plan.Plan, error) {
	r, err := resolve(folder)
	if err != nil {
		return nil, err
	}
	prepared, err := folder.ReadPreparation()
	if err != nil {
		return nil, err
	}
	statement := uncertaintyOf(prepared.Sheet.Uncertainty)
	tested := toBeTestedWith(prepared.Sheet, statement, r)
	pieces, uncovered := budgets(prepared.Sheet, statement, tested)
	if err := uncovered.Err(); err != nil {
		return nil, err
	}
	var probes []string
	for _, t := range tested {
		probes = append(probes, t.probe)
	}
	return plan.Build(plan.Input{Sheet: prepared.Sheet, Requirement: r, Budget: largest(statement, pieces), Uncertainty: statement, Probes: probes,
		Equipment: prepared.Equipment, Forecasts: prepared.Forecasts}), nil
}

// toBeTestedWith lists what will be tested with which probe: those of the runs where
// the sheet has them already, else those that the statement of the uncertainty names.
func toBeTestedWith(sheet *jobsheet.Sheet, s *uncertainty.Statement, r *requirement.Requirement) []testedRange {
	var probes []string
	for i := range sheet.Runs {
		for k := range sheet.Runs[i].Probes {
			probes = append(probes, sheet.Runs[i].Probes[k].Asset)
		}
	}
	if len(probes) == 0 && s != nil {
		probes = s.Probes()
	}
	if len(probes) == 0 {
		probes = []string{""}
	}
	slices.Sort(probes)
	var tested []testedRange
	for _, probe := range slices.Compact(probes) {
		for _, rg := range requiredRanges(r) {
			tested = append(tested, testedRange{probe, rg.From, rg.To})
		}
	}
	return tested
}
