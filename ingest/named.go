package ingest

import (
	"path"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/table"
)

// Named lists every file that the job sheets of the folder name, and the sheets
// themselves, relative to the folder: what no command may write over.
func (f *Folder) Named() []string {
	s := f.Sheet
	names := []string{jobsheet.FileName}
	add := func(entry *table.Entry) {
		if entry != nil && entry.File != "" {
			names = append(names, entry.File)
		}
	}
	if s.Requirement.File != "" {
		names = append(names, s.Requirement.File)
	}
	for _, entry := range f.entries() {
		add(entry)
	}
	add(s.Report.ReplacesFile)
	for i := range s.Forecasts {
		add(&s.Forecasts[i].Record)
	}
	for i := range s.Photos {
		names = append(names, s.Photos[i].File)
	}
	for i := range s.Days {
		names = append(names, path.Join(s.Days[i].Folder, jobsheet.FileName))
		add(s.Days[i].Requirement)
	}
	return names
}
