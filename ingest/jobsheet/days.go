package jobsheet

import (
	"errors"
	"path"
	"slices"
	"strings"

	"fieldheld/ingest/document"
	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
	"fieldheld/templates/wording"
)

// readDays reads [[day]], and demands days or runs of a test that was made.
func (s *Sheet) readDays(root *document.Table, use Use) {
	for i, t := range root.Tables("day") {
		t.Require("folder")
		day := Day{Place: t.PlaceOf("folder"), Folder: path.Clean(readPath(t, "folder"))}
		t.Close()
		if day.Folder == "." && t.Has("folder") {
			t.Fail("folder", wording.Say("sheet.day-not-below", nil))
		}
		for k := range s.Days[:i] {
			if strings.EqualFold(s.Days[k].Folder, day.Folder) {
				t.Fail("folder", wording.Say("sheet.day-twice", wording.Values{"found": day.Folder}))
			}
		}
		s.Days = append(s.Days, day)
	}
	switch {
	case use == Evaluation && len(s.Days)+len(s.Runs) == 0:
		root.FailMissing("run", wording.Say("sheet.no-run", nil))
	case len(s.Days) > 0 && root.Has("defaults"):
		root.Fail("defaults", wording.Say("sheet.defaults-beside-days", nil))
	case len(s.Days) > 0 && root.Has("run"):
		root.Fail("run[1]", wording.Say("sheet.runs-beside-days", nil))
	}
}

// Join reads the sheets of the days that this sheet names and adds what they
// hold: runs, tunings, events, deviations, equipment, readings of the environment,
// photos and signatures. Paths, ids of runs and names of tunings begin with the
// folder of their day from then on. Read returns the file of an entry.
//
// A day's sheet may repeat the tables that all days share, so that the day can
// be checked by itself too; what it repeats must not differ. The error is a
// *place.Error with every problem of all sheets, or one of read.
func (s *Sheet) Join(read func(table.Entry) ([]byte, error)) error {
	if len(s.Days) == 0 {
		return nil
	}
	var parts []*Sheet
	var problems place.Messages
	others := names{}
	for i := range s.Days {
		part, err := s.readPart(&s.Days[i], read)
		var told *place.Error
		if errors.As(err, &told) {
			problems = append(problems, told.Messages...)
		} else if err != nil {
			return err
		}
		if part == nil {
			continue
		}
		part.moveInto(s.Days[i].Folder)
		parts = append(parts, part)
		for k := range part.Runs {
			others.runs = append(others.runs, part.Runs[k].ID)
		}
		for k := range part.Tunings {
			others.tunings = append(others.tunings, part.Tunings[k].Name)
		}
	}
	if len(parts) == len(s.Days) { // else names are missing that may be right
		s.crossCheck(s.document.Root(), others)
	}
	if err := append(problems, s.document.Messages...).Err(); err != nil {
		return err
	}
	for i := range parts {
		s.add(parts[i])
	}
	return nil
}

// readPart reads the sheet of a day, compares what it repeats, and checks the
// names in it, which may also be those of this sheet's tunings.
func (s *Sheet) readPart(day *Day, read func(table.Entry) ([]byte, error)) (*Sheet, error) {
	file := inFolder(day.Folder, FileName)
	data, err := read(table.Entry{Place: day.Place, File: file})
	if err != nil {
		return nil, err
	}
	d, err := document.Parse(data, file)
	if err != nil {
		return nil, err
	}
	root := d.Root()
	part := &Sheet{Place: root.Place(), document: d}
	for _, key := range shared {
		root.Table(key)
		part.sameAs(s, key)
	}
	if t := root.Table("requirement"); t.Has("file") {
		day.Requirement = &table.Entry{Place: t.PlaceOf("file"), File: inFolder(day.Folder, readPath(t, "file"))}
	}
	part.readLists(root, s.Report.Zone, Evaluation)
	if len(part.Runs) == 0 {
		root.Require("run")
	}
	root.Close()
	others := names{}
	for i := range s.Tunings {
		others.tunings = append(others.tunings, s.Tunings[i].Name)
	}
	part.crossCheck(root, others)
	day.Register = part.Register
	if day.Register != nil {
		day.Register.File = inFolder(day.Folder, day.Register.File)
	}
	return part, d.Messages.Err()
}

// sameAs reports what the sheet of a day writes below a key otherwise than the
// sheet of the whole test. Requirement files are compared by their content when
// they are read, because each sheet names them from its own folder.
func (s *Sheet) sameAs(whole *Sheet, key string) {
	for _, difference := range s.document.Differences(key, whole.document) {
		if difference.Key == "requirement.file" && whole.Requirement.File != "" {
			continue
		}
		text := wording.Say("sheet.day-differs", wording.Values{"found": difference.Mine, "whole": difference.Theirs, "place": difference.Other})
		if difference.Theirs.IsZero() {
			text = wording.Say("sheet.day-alone-says", wording.Values{"found": difference.Mine, "file": whole.Place.File})
		}
		s.document.Messages.Add(place.Message{Place: difference.At, Text: text})
	}
}

// moveInto lets everything of a day's sheet begin with the folder of the day.
func (s *Sheet) moveInto(folder string) {
	tunings := map[string]bool{}
	for i := range s.Tunings {
		tunings[s.Tunings[i].Name] = true
		s.Tunings[i].Name = inFolder(folder, s.Tunings[i].Name)
	}
	for i := range s.Runs {
		run := &s.Runs[i]
		if tunings[run.Tuning] { // else it is one of the whole test
			run.Tuning = inFolder(folder, run.Tuning)
		}
		run.moveInto(folder)
	}
	for i := range s.Equipment {
		s.Equipment[i].Folder = folder
	}
	for i := range s.Events {
		s.Events[i].Run = inFolder(folder, s.Events[i].Run)
	}
	for i := range s.Incidents {
		s.Incidents[i].Run = inFolder(folder, s.Incidents[i].Run)
	}
	for i := range s.Deviations {
		s.Deviations[i].Folder = folder
		s.Deviations[i].Run = inFolder(folder, s.Deviations[i].Run)
	}
	for i := range s.Photos {
		s.Photos[i].File = inFolder(folder, s.Photos[i].File)
	}
	for i := range s.Annexes {
		s.Annexes[i].File = inFolder(folder, s.Annexes[i].File)
	}
}

func (r *Run) moveInto(folder string) {
	r.ID, r.Folder = inFolder(folder, r.ID), folder
	for _, file := range r.Files() {
		file.Entry.File = inFolder(folder, file.Entry.File)
	}
}

// inFolder puts the folder before a name or path; no name remains none.
func inFolder(folder, name string) string {
	if name == "" {
		return ""
	}
	return folder + "/" + name
}

// add appends what a day has of its own. A signature that both sheets have
// counts once.
func (s *Sheet) add(part *Sheet) {
	s.Environment = append(s.Environment, part.Environment...)
	s.Equipment = append(s.Equipment, part.Equipment...)
	s.Tunings = append(s.Tunings, part.Tunings...)
	s.Runs = append(s.Runs, part.Runs...)
	s.Events = append(s.Events, part.Events...)
	s.Incidents = append(s.Incidents, part.Incidents...)
	s.Deviations = append(s.Deviations, part.Deviations...)
	s.Photos = append(s.Photos, part.Photos...)
	s.Annexes = append(s.Annexes, part.Annexes...)
	for _, witness := range part.Witnesses {
		if !slices.ContainsFunc(s.Witnesses, func(known Witness) bool { return known.same(witness) }) {
			s.Witnesses = append(s.Witnesses, witness)
		}
	}
	for _, signature := range part.Signatures {
		if !s.signed(signature) {
			s.Signatures = append(s.Signatures, signature)
		}
	}
}

// same reports whether two sheets name a witness with the same words.
func (w Witness) same(other Witness) bool {
	w.Place, other.Place = place.Place{}, place.Place{}
	return w == other
}

func (s *Sheet) signed(by Signature) bool {
	for _, known := range s.Signatures {
		if known == by {
			return true
		}
	}
	return false
}

// OwnID is the id of the run in the sheet of its day, as the records of that day
// write it.
func (r *Run) OwnID() string { return strings.TrimPrefix(r.ID, r.Folder+"/") }
