package newday

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"fieldheld/ingest/jobsheet"
)

// Missing returns the files of the day that do not stand in the folder yet, which
// may exist or not; the job sheet is the last. Nothing that is there may be
// overwritten: a job sheet, or another file of one of these names, is an error.
func (d *Day) Missing(dir string) ([]File, error) {
	files := append(append([]File(nil), d.Files...), File{jobsheet.FileName, d.Sheet})
	var missing []File
	for _, file := range files {
		there, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(file.Path)))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			missing = append(missing, file)
		case err != nil:
			return nil, fmt.Errorf("the folder %s cannot be used: %w", dir, err)
		case file.Path == jobsheet.FileName:
			return nil, fmt.Errorf("there is a job sheet in %s already; it is left as it is. Name another folder, or move the sheet away", dir)
		case !bytes.Equal(there, file.Data):
			return nil, fmt.Errorf("there is another %s in %s already; it is left as it is. Move it away, or name another folder", file.Path, dir)
		}
	}
	return missing, nil
}
