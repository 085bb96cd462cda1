package ingest

import (
	"path"

	"fieldheld/ingest/jobsheet"
)

// Named lists every file that the job sheets of the folder name, and the sheets
// themselves, relative to the folder: what no command may write over.
func (f *Folder) Named() []string {
	s := f.Sheet
	names := []string{jobsheet.FileName}
	if s.Requirement.File != "" {
		names = append(names, s.Requirement.File)
	}
	for _, named := range s.Files() {
		names = append(names, named.Entry.File)
	}
	for i := range s.Days {
		names = append(names, path.Join(s.Days[i].Folder, jobsheet.FileName))
		if entry := s.Days[i].Requirement; entry != nil && entry.File != "" {
			names = append(names, entry.File)
		}
	}
	return names
}
