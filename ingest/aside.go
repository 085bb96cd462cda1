package ingest

import (
	"slices"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
)

// Absent lists the records that the job sheet names and that cannot be opened,
// once for each line that names one.
func (f *Folder) Absent() place.Messages {
	var absent place.Messages
	for _, entry := range f.entries() {
		if err := f.opens(entry.File); err != nil {
			absent = append(absent, sheetError(entry, err)...)
		}
	}
	return absent
}

// opens reports why a file cannot be opened; nil where it can.
func (f *Folder) opens(path string) error {
	file, err := f.root.Open(path)
	if err != nil {
		return err
	}
	return file.Close()
}

// entries are the files that the sheet names, but for photos and requirements.
func (f *Folder) entries() []*table.Entry {
	entries := []*table.Entry{f.Sheet.Register}
	for i := range f.Sheet.Days {
		entries = append(entries, f.Sheet.Days[i].Register)
	}
	for i := range f.Sheet.Runs {
		needed, more := entriesOf(&f.Sheet.Runs[i])
		entries = append(append(entries, needed...), more...)
	}
	return slices.DeleteFunc(entries, func(entry *table.Entry) bool { return entry == nil })
}

// entriesOf returns the files without which a run has no field, and the others.
func entriesOf(run *jobsheet.Run) (needed, more []*table.Entry) {
	needed = []*table.Entry{&run.Dwell}
	for k := range run.Probes {
		needed = append(needed, &run.Probes[k].Log, run.Probes[k].Correction)
	}
	return needed, []*table.Entry{run.Power, run.ForwardCorrection, run.ReflectedCorrection, run.Motion}
}

// SetAside takes out of the sheet what the problems are about, so that the rest
// of a day that is still being tested can be read: a run without its dwell
// record, a probe's log or its correction; else the power, the motion record or
// the register alone. It reports whether there was anything to take out.
//
// What is evaluated after that shows less than the day will: whoever sets aside
// has to say so beside the result.
func (f *Folder) SetAside(problems place.Messages) bool {
	about := func(entry *table.Entry) bool {
		return entry != nil && slices.ContainsFunc(problems, func(m place.Message) bool { return isAbout(m.Place, entry) })
	}
	done := dropEntry(&f.Sheet.Register, about)
	for i := range f.Sheet.Days {
		done = dropEntry(&f.Sheet.Days[i].Register, about) || done
	}
	count := len(f.Sheet.Runs)
	f.Sheet.Runs = slices.DeleteFunc(f.Sheet.Runs, func(run jobsheet.Run) bool {
		needed, _ := entriesOf(&run)
		return slices.ContainsFunc(needed, about)
	})
	done = done || len(f.Sheet.Runs) < count
	for i := range f.Sheet.Runs {
		run := &f.Sheet.Runs[i]
		if about(run.Power) || about(run.ForwardCorrection) || about(run.ReflectedCorrection) {
			run.Power, run.ForwardCorrection, run.ReflectedCorrection = nil, nil, nil
			done = true
		}
		done = dropEntry(&run.Motion, about) || done
	}
	return done
}

func dropEntry(entry **table.Entry, about func(*table.Entry) bool) bool {
	if !about(*entry) {
		return false
	}
	*entry = nil
	return true
}

// isAbout reports whether a problem at a place is one of the entry's file, or of
// the line of the sheet that names it.
func isAbout(where place.Place, entry *table.Entry) bool {
	if where == entry.Place {
		return true
	}
	return where.File == entry.File && (where.Sheet == "" || entry.Sheet == "" || where.Sheet == entry.Sheet)
}
