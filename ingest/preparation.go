package ingest

import (
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/record"
	"fieldheld/templates/wording"
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
	Record *record.LowLevel // corrected
	// Left are the points outside a correction table, which are not used.
	Left []record.LowLevelPoint
}

// ReadPreparation reads the register and the low-level records, and none of the
// records of runs. The error is a *place.Error with the problems of all files.
func (f *Folder) ReadPreparation() (*Preparation, error) {
	r := &reader{folder: f, settings: record.Settings{Zone: f.Sheet.Report.Zone, Date: f.Sheet.AboutDate()}, jobs: map[string]*job{}}
	registers := registers{}
	p := &Preparation{Sheet: f.Sheet}
	var register *job
	var forecasts []*job
	forward, field := map[int]*job{}, map[int]*job{}
	for _, named := range f.Sheet.Files() {
		switch {
		case named.Role == jobsheet.ForecastFile:
			forecasts = append(forecasts, r.add(named))
		case named.Role == jobsheet.ForecastForwardFile:
			forward[named.Forecast] = r.add(named)
		case named.Role == jobsheet.ForecastFieldFile:
			field[named.Forecast] = r.add(named)
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
	var problems place.Messages
	for i, job := range forecasts {
		forecast := Forecast{Sheet: &f.Sheet.Forecasts[i]}
		forecast.correct(result[*record.LowLevel](job), result[*record.Correction](forward[i]), result[*record.Correction](field[i]))
		if len(forecast.Record.Points) == 0 {
			problems.Add(place.Message{Place: forecast.Sheet.Record.Place, Text: wording.Say("forecast.no-point-corrected", wording.Values{"file": forecast.Sheet.Record.File})})
		}
		p.Forecasts = append(p.Forecasts, forecast)
	}
	p.Files = f.evidence()
	return p, problems.Err()
}

// correct applies the corrections of forward power and field, either of which may be
// nil. Points that a table does not reach are left out: nothing is extrapolated.
func (f *Forecast) correct(raw *record.LowLevel, forward, field *record.Correction) {
	f.Record = raw
	if forward == nil && field == nil {
		return
	}
	corrected := *raw // the record may serve another forecast too
	corrected.Points = nil
	for _, p := range raw.Points {
		if forward != nil {
			p.Forward = p.Forward.Plus(forward.At(p.Frequency))
		}
		if field != nil {
			p.Field = p.Field.Plus(field.At(p.Frequency))
		}
		if p.Forward > 0 && p.Field > 0 {
			corrected.Points = append(corrected.Points, p)
		} else {
			f.Left = append(f.Left, p)
		}
	}
	f.Record = &corrected
}
