package newday

import (
	"fmt"
	"time"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// concerns compares the equipment of a sheet with the register on the date of the
// test. It says what a check of the day would find, as early as it can be known.
func concerns(day *Day, sheet *jobsheet.Sheet, date time.Time) []string {
	if sheet == nil || sheet.Register == nil {
		return []string{"No register is named: calibration dates and assets were not checked."}
	}
	register, err := readRegister(day, sheet)
	if err != nil {
		return []string{fmt.Sprintf("The register cannot be read, so that nothing was checked against it: %v", err)}
	}
	var list []string
	for i := range sheet.Equipment {
		e := ingest.Completed(sheet.Equipment[i], register)
		listed := e.RegisterRow > 0
		if !listed {
			list = append(list, fmt.Sprintf("%s (%s) is not in the register.", e.Asset, e.Role))
		}
		if text := calibrationConcern(&e.Equipment, sheet.MeasuresField(&e.Equipment), date); text != "" && (listed || !e.Calibrated.IsZero() || !e.Due.IsZero()) {
			list = append(list, text)
		}
	}
	return append(list, unlisted(sheet)...)
}

func readRegister(day *Day, sheet *jobsheet.Sheet) (*record.Register, error) {
	for _, file := range day.Files {
		if file.Path == sheet.Register.File {
			return record.ReadRegister(table.Bytes(file.Path, file.Data), *sheet.Register, record.Settings{Zone: sheet.Report.Zone})
		}
	}
	return nil, fmt.Errorf("%s is not among the files of the new day", sheet.Register.File)
}

// calibrationConcern says what is wrong with the calibration on a date; "" for
// nothing.
func calibrationConcern(e *jobsheet.Equipment, measuresField bool, date time.Time) string {
	what, on := e.Asset+" ("+e.Role+")", date.Format(time.DateOnly)
	switch e.CalibrationOn(date, date, measuresField) {
	case jobsheet.CalibrationNotStated:
		return what + " needs a calibration and none is stated."
	case jobsheet.CalibrationEndUnknown:
		return what + " needs a calibration, and no date is stated on which it ends."
	case jobsheet.CalibrationEnded:
		return fmt.Sprintf("The calibration of %s ends on %s, before the test on %s.", what, e.Due.Format(time.DateOnly), on)
	case jobsheet.CalibrationBegunLater:
		return fmt.Sprintf("%s was calibrated on %s, after the test on %s.", what, e.Calibrated.Format(time.DateOnly), on)
	}
	return ""
}

// unlisted names the assets of runs that the list of equipment lacks.
func unlisted(sheet *jobsheet.Sheet) []string {
	known := map[string]bool{"": true}
	for _, e := range sheet.Equipment {
		known[e.Asset] = true
	}
	var list []string
	note := func(run, asset string) {
		if !known[asset] {
			known[asset] = true
			list = append(list, fmt.Sprintf("%s is named by run %s and is not in the list of equipment.", asset, run))
		}
	}
	for i := range sheet.Runs {
		run := &sheet.Runs[i]
		note(run.ID, run.Antenna)
		note(run.ID, run.Amplifier)
		for k := range run.Probes {
			note(run.ID, run.Probes[k].Asset)
		}
	}
	return list
}
