package report

import (
	"fieldheld/ingest"
	"fieldheld/report/plan"
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
	return plan.Build(plan.Input{Sheet: prepared.Sheet, Requirement: r, Budget: budgetOf(prepared.Sheet.Uncertainty),
		Equipment: prepared.Equipment, Forecasts: prepared.Forecasts}), nil
}
