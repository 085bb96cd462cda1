package check

import (
	"slices"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/report/verdict/evaluate"
	"fieldheld/templates/wording"
)

// assetsOf returns the assets that a run names, each once.
func (s *Subject) assetsOf(run int) []string {
	sheet := s.Day.Runs[run].Sheet
	named := []string{sheet.Antenna, sheet.Amplifier}
	for i := range sheet.Probes {
		named = append(named, sheet.Probes[i].Asset)
	}
	var assets []string
	seen := map[string]bool{"": true}
	for _, asset := range named {
		if !seen[asset] {
			seen[asset] = true
			assets = append(assets, asset)
		}
	}
	return assets
}

// assetEvidence is where an asset's calibration is stated: its row of the
// register, or the job sheet.
func (s *Subject) assetEvidence(asset string) []Evidence {
	e := s.Day.Asset(asset)
	switch {
	case e == nil:
		return s.jobSheet()
	case len(e.Conflict) > 0:
		first, last := slices.Min(e.Conflict), slices.Max(e.Conflict)
		return []Evidence{{File: e.RegisterFile.Path, Sheet: e.RegisterFile.Sheet, First: first, Last: last}}
	case e.RegisterRow > 0:
		return []Evidence{{File: e.RegisterFile.Path, Sheet: e.RegisterFile.Sheet, First: e.RegisterRow, Last: e.RegisterRow}}
	}
	return s.sheetOf(e.Place)
}

// testDates returns the first and the last date of the visits of the runs, at
// midnight UTC of the date in the report's zone; zero where there is no visit.
func (s *Subject) testDates(runs ...int) (first, last time.Time) {
	var dates dateRange
	for _, i := range runs {
		for _, v := range s.Evaluated.Runs[i].Visits {
			dates.take(v.Record.Start.In(s.Day.Sheet.Report.Zone), v.Record.End.In(s.Day.Sheet.Report.Zone))
		}
	}
	return dates.first, dates.last
}

// DatesOfUse are the first and the last test date of the runs on which an asset was
// in use, as testDates gives them: for a probe that was changed within a run, those of
// its own part of the run.
func (s *Subject) DatesOfUse(asset string, runs ...int) (first, last time.Time) {
	var dates dateRange
	for _, i := range runs {
		uses := usesOf(s.Day.Runs[i].Sheet, asset)
		for _, v := range s.Evaluated.Runs[i].Visits {
			for _, use := range uses {
				if from, to, used := use.during(v); used {
					dates.take(from.In(s.Day.Sheet.Report.Zone), to.In(s.Day.Sheet.Report.Zone))
				}
			}
		}
	}
	return dates.first, dates.last
}

// dateRange is a first and a last date, at midnight UTC; zero for none.
type dateRange struct{ first, last time.Time }

func (r *dateRange) take(times ...time.Time) {
	for _, at := range times {
		date := dateOf(at)
		if r.first.IsZero() || date.Before(r.first) {
			r.first = date
		}
		if date.After(r.last) {
			r.last = date
		}
	}
}

func dateOf(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
}

func findCalibration(s *Subject) []Finding {
	var findings []Finding
	named := map[string]bool{}
	for i := range s.Evaluated.Runs {
		for _, asset := range s.assetsOf(i) {
			named[asset] = true
			if fault := s.calibrationFault(asset, i); !fault.IsZero() {
				f := runFinding(&s.Evaluated.Runs[i])
				f.Text, f.Asset, f.Evidence = fault, asset, s.assetEvidence(asset)
				findings = append(findings, f)
			}
		}
	}
	for i := range s.Day.Equipment {
		asset := s.Day.Equipment[i].Asset
		if named[asset] {
			continue
		}
		if fault := s.calibrationFault(asset, s.runsOn(s.Day.Equipment[i].Folders)...); !fault.IsZero() {
			f := dayFinding()
			f.Text, f.Asset, f.Evidence = fault, asset, s.assetEvidence(asset)
			findings = append(findings, f)
		}
	}
	return findings
}

// runsOn returns the runs of the days with these folders; all runs for none.
func (s *Subject) runsOn(folders []string) []int {
	var runs []int
	for i := range s.Day.Runs {
		if len(folders) == 0 || slices.Contains(folders, s.Day.Runs[i].Sheet.Folder) {
			runs = append(runs, i)
		}
	}
	return runs
}

// calibrationFault says what is wrong with an asset's calibration on the dates
// of the runs; nothing when nothing is, or when the list lacks the asset.
func (s *Subject) calibrationFault(asset string, runs ...int) wording.Text {
	e := s.Day.Asset(asset)
	first, last := s.DatesOfUse(asset, runs...)
	if e == nil || first.IsZero() {
		return wording.Text{}
	}
	switch e.CalibrationOn(first, last, s.Day.Sheet.MeasuresField(&e.Equipment)) {
	case jobsheet.CalibrationNotStated:
		if len(e.Conflict) > 1 {
			return wording.Say("calibration.conflict", wording.Values{"asset": asset, "role": e.Role, "rows": e.Conflict})
		}
		if e.RegisterRow == 0 && s.hasRegister() {
			return wording.Say("calibration.not-in-register", wording.Values{"asset": asset, "role": e.Role})
		}
		return wording.Say("calibration.not-stated", wording.Values{"asset": asset, "role": e.Role})
	case jobsheet.CalibrationEndUnknown:
		return wording.Say("calibration.no-end", wording.Values{"asset": asset, "role": e.Role})
	case jobsheet.CalibrationEnded:
		return wording.Say("calibration.ended", wording.Values{"asset": asset, "role": e.Role, "due": date(e.Due), "used": date(last)})
	case jobsheet.CalibrationBegunLater:
		return wording.Say("calibration.begun-later", wording.Values{"asset": asset, "role": e.Role, "calibrated": date(e.Calibrated), "used": date(first)})
	}
	return wording.Text{}
}

// hasRegister reports whether the day names a register of equipment.
func (s *Subject) hasRegister() bool {
	return s.Day.Sheet.Register != nil || slices.ContainsFunc(s.Day.Sheet.Days, func(d jobsheet.Day) bool { return d.Register != nil })
}

func date(t time.Time) string { return t.Format(time.DateOnly) }

func findEquipment(s *Subject) []Finding {
	var findings []Finding
	for i := range s.Evaluated.Runs {
		run := &s.Evaluated.Runs[i]
		if f, found := s.namelessProbe(i); found {
			findings = append(findings, f)
		}
		for _, asset := range s.assetsOf(i) {
			f := runFinding(run)
			f.Asset, f.Evidence = asset, s.assetEvidence(asset)
			e := s.Day.Asset(asset)
			low, high := visitedRange(run, usesOf(s.Day.Runs[i].Sheet, asset))
			switch {
			case e == nil:
				f.Text = wording.Say("equipment.not-listed", wording.Values{"asset": asset})
				f.Evidence = s.jobSheet()
			case !quantity.Defined(low):
				continue // nothing that is required was visited with it
			case quantity.Defined(e.From) && !e.From.AtOrBelow(low):
				f.Text = wording.Say("equipment.above", wording.Values{"asset": asset, "role": e.Role, "limit": e.From, "frequency": low})
			case quantity.Defined(e.To) && !high.AtOrBelow(e.To):
				f.Text = wording.Say("equipment.below", wording.Values{"asset": asset, "role": e.Role, "limit": e.To, "frequency": high})
			default:
				continue
			}
			findings = append(findings, f)
		}
	}
	return findings
}

// namelessProbe reports the probes of a run that name no asset: what they read
// cannot be traced to a calibration.
func (s *Subject) namelessProbe(run int) (f Finding, found bool) {
	var logs []string
	f = runFinding(&s.Evaluated.Runs[run])
	sheet := s.Day.Runs[run].Sheet
	for k := range sheet.Probes {
		if probe := &sheet.Probes[k]; probe.Asset == "" {
			logs = append(logs, probe.Log.File)
			f.Evidence = s.sheetOf(probe.Place)
		}
	}
	f.Text = wording.Say("equipment.nameless-probe", wording.Values{"files": logs})
	return f, len(logs) > 0
}

// visitedRange returns the lowest and the highest required frequency that a run
// visited during the uses of an asset; undefined where there is none.
func visitedRange(run *evaluate.Run, uses []use) (low, high quantity.Frequency) {
	low, high = quantity.Undefined[quantity.Frequency](), quantity.Undefined[quantity.Frequency]()
	for _, v := range run.Visits {
		used := slices.ContainsFunc(uses, func(u use) bool { _, _, used := u.during(v); return used })
		if !v.IsRequired() || !used {
			continue
		}
		if f := v.Frequency(); !(low <= f) {
			low = f
		}
		if f := v.Frequency(); !(high >= f) {
			high = f
		}
	}
	return low, high
}
