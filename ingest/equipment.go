package ingest

import (
	"fmt"
	"strings"
	"time"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/templates/wording"
)

// mergeEquipment completes the job sheet's list from the register. What the
// sheet says wins; where both say something else, the difference is noted.
func mergeEquipment(list []jobsheet.Equipment, registers registers) []Equipment {
	merged := make([]Equipment, len(list))
	for i := range list {
		merged[i] = Completed(list[i], registers.of(list[i].Folder))
	}
	return merged
}

// Completed is an entry of the sheet with what the register adds to it; the
// register may be nil.
func Completed(entry jobsheet.Equipment, register *record.Register) Equipment {
	e := Equipment{Equipment: entry}
	if register == nil {
		return e
	}
	if rows := register.Conflicts[strings.ToLower(e.Asset)]; rows != nil {
		e.Conflict, e.RegisterFile = rows, register.File
	}
	for k := range register.Assets {
		if asset := &register.Assets[k]; asset.Name == e.Asset {
			e.complete(asset)
			e.RegisterFile = register.File
		}
	}
	return e
}

func (e *Equipment) complete(asset *record.Asset) {
	e.RegisterRow = asset.Row
	text := func(name string, mine *string, theirs string) {
		if *mine == "" {
			*mine = theirs
		} else if theirs != "" && !strings.EqualFold(strings.TrimSpace(*mine), strings.TrimSpace(theirs)) {
			e.differ(name, *mine, theirs)
		}
	}
	day := func(name string, mine *time.Time, theirs time.Time) {
		if mine.IsZero() {
			*mine = theirs
		} else if !theirs.IsZero() && !mine.Equal(theirs) {
			e.differ(name, mine.Format(time.DateOnly), theirs.Format(time.DateOnly))
		}
	}
	frequency := func(name string, mine *quantity.Frequency, theirs quantity.Frequency) {
		if !quantity.Defined(*mine) {
			*mine = theirs
		} else if quantity.Defined(theirs) && !mine.Within(theirs, theirs) {
			e.differ(name, mine.String(), theirs.String())
		}
	}
	text("description", &e.Description, asset.Description)
	text("maker", &e.Maker, asset.Maker)
	text("model", &e.Model, asset.Model)
	text("serial", &e.Serial, asset.Serial)
	text("certificate", &e.Certificate, asset.Certificate)
	text("traceability", &e.Traceability, asset.Traceability)
	day("calibrated", &e.Calibrated, asset.Calibrated)
	day("due", &e.Due, asset.Due)
	frequency("from", &e.From, asset.From)
	frequency("to", &e.To, asset.To)
}

func (e *Equipment) differ(name, mine, theirs string) {
	e.Differences = append(e.Differences, fmt.Sprintf("%s is %s in the job sheet and %s in the register", name, mine, theirs))
}

// uniteEquipment fills the day's list of equipment. An asset that the sheets of
// several days list alike stands there once. Where they differ, because it was
// calibrated anew between two days, each day keeps its own entry under the name
// "folder/asset", and the runs of that day name it so: each is then judged by the
// calibration that its day states.
func (d *Day) uniteEquipment(list []Equipment) place.Messages {
	var problems place.Messages
	byAsset := map[string][]Equipment{}
	for _, e := range list {
		byAsset[e.Asset] = append(byAsset[e.Asset], e)
	}
	for _, first := range list {
		entries := byAsset[first.Asset]
		delete(byAsset, first.Asset)
		if len(entries) == 0 {
			continue // united with an earlier one
		}
		if alike(entries) {
			d.Equipment = append(d.Equipment, united(entries))
			continue
		}
		for _, e := range entries {
			if e.Folder == "" {
				problems.Add(place.Message{Place: entries[len(entries)-1].Place, Text: wording.Say("equipment.listed-otherwise", wording.Values{"asset": e.Asset, "place": e.Place})})
				break
			}
			d.rename(e.Folder, e.Asset)
			e.Folders = []string{e.Folder}
			e.Asset = e.Folder + "/" + e.Asset
			d.Equipment = append(d.Equipment, e)
		}
	}
	return problems
}

// alike reports whether the entries say the same. They are compared as they
// print, because undefined figures are not equal to themselves.
func alike(entries []Equipment) bool {
	said := func(e jobsheet.Equipment) string {
		e.Place, e.Folder = place.Place{}, ""
		return fmt.Sprintf("%+v", e)
	}
	for i := range entries {
		if said(entries[i].Equipment) != said(entries[0].Equipment) {
			return false
		}
	}
	return true
}

// united makes one entry of those of several days.
func united(entries []Equipment) Equipment {
	whole := entries[0]
	for i := range entries {
		e := &entries[i]
		whole.Folders = append(whole.Folders, e.Folder)
		if whole.RegisterRow == 0 {
			whole.RegisterRow, whole.RegisterFile = e.RegisterRow, e.RegisterFile
		}
		if i > 0 {
			whole.Differences = append(whole.Differences, e.Differences...)
		}
	}
	for i := range entries {
		if entries[i].Folder == "" {
			whole.Folders = nil
		}
	}
	return whole
}

// rename lets the runs of a day name an asset by the folder as well.
func (d *Day) rename(folder, asset string) {
	for i := range d.Sheet.Runs {
		run := &d.Sheet.Runs[i]
		if run.Folder != folder {
			continue
		}
		names := []*string{&run.Antenna, &run.Amplifier}
		for k := range run.Probes {
			names = append(names, &run.Probes[k].Asset)
		}
		for _, name := range names {
			if *name == asset {
				*name = folder + "/" + asset
			}
		}
	}
}
