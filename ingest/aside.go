package ingest

import (
	"slices"

	"fieldheld/ingest/place"
	"fieldheld/ingest/table"
)

// Absent lists the records that the job sheet names and that cannot be opened,
// once for each line that names one.
func (f *Folder) Absent() place.Messages {
	var absent place.Messages
	for _, named := range f.Sheet.Records() {
		if err := f.opens(named.Entry.File); err != nil {
			absent = append(absent, sheetError(named.Entry, err)...)
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

// SetAside takes out of the sheet what the problems are about, so that the rest
// of a day that is still being tested can be read: a run without its dwell
// record, a probe's log or its correction; else the power, the motion record or
// the register alone. It reports whether there was anything to take out.
//
// What is evaluated after that shows less than the day will: whoever sets aside
// has to say so beside the result.
func (f *Folder) SetAside(problems place.Messages) bool {
	return f.Sheet.Drop(func(entry *table.Entry) bool {
		return slices.ContainsFunc(problems, func(m place.Message) bool { return isAbout(m.Place, entry) })
	})
}

// isAbout reports whether a problem at a place is one of the entry's file, or of
// the line of the sheet that names it.
func isAbout(where place.Place, entry *table.Entry) bool {
	if where == entry.Place {
		return true
	}
	return where.File == entry.File && (where.Sheet == "" || entry.Sheet == "" || where.Sheet == entry.Sheet)
}
