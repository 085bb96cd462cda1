package ingest

import (
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/record"
)

// Preparation is what the files say of a test before it is made.
type Preparation struct {
	Sheet     *jobsheet.Sheet
	Equipment []Equipment // the sheet's list, completed from the register
	Forecasts []Forecast  // in the order of the sheet
	Files     []File      // every file that was read, sorted by path
}

// Forecast is a low-level record and what the sheet says of it.
type Forecast struct {
	Sheet  *jobsheet.Forecast
	Record *record.LowLevel
}

// ReadPreparation reads the register and the low-level records, and none of the
// records of runs. The error is a *place.Error with the problems of all files.
func (f *Folder) ReadPreparation() (*Preparation, error) {
	r := &reader{folder: f, settings: record.Settings{Zone: f.Sheet.Report.Zone, Date: f.Sheet.AboutDate()}, jobs: map[string]*job{}}
	registers := registers{}
	p := &Preparation{Sheet: f.Sheet}
	var register *job
	var forecasts []*job
	for _, named := range f.Sheet.Files() {
		switch {
		case named.Role == jobsheet.ForecastFile:
			forecasts = append(forecasts, r.add(named))
		case named.Role == jobsheet.RegisterFile && named.Folder == "":
			register = r.add(named)
		}
	}
	r.run()
	if err := r.problems.Err(); err != nil {
		return nil, err
	}
	registers[""] = result[*record.Register](register)
	p.Equipment = mergeEquipment(f.Sheet.Equipment, registers)
	for i, job := range forecasts {
		p.Forecasts = append(p.Forecasts, Forecast{Sheet: &f.Sheet.Forecasts[i], Record: result[*record.LowLevel](job)})
	}
	p.Files = f.evidence()
	return p, nil
}
