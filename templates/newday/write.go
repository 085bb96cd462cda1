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

// Write writes the day into a folder, which may exist. Nothing that is there is
// overwritten: where a file of the day stands there already with other contents,
// nothing is written at all. The job sheet comes last.
func (d *Day) Write(dir string) error {
	files := append(append([]File(nil), d.Files...), File{jobsheet.FileName, d.Sheet})
	var missing []File
	for _, file := range files {
		there, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(file.Path)))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			missing = append(missing, file)
		case err != nil:
			return fmt.Errorf("the folder %s cannot be used: %w", dir, err)
		case file.Path == jobsheet.FileName:
			return fmt.Errorf("there is a job sheet in %s already; it is left as it is. Name another folder, or move the sheet away", dir)
		case !bytes.Equal(there, file.Data):
			return fmt.Errorf("there is another %s in %s already; it is left as it is. Move it away, or name another folder", file.Path, dir)
		}
	}
	for _, folder := range append([]string{"."}, d.Folders...) {
		if err := os.MkdirAll(filepath.Join(dir, filepath.FromSlash(folder)), 0o755); err != nil {
			return fmt.Errorf("making the folders of the day: %w", err)
		}
	}
	for _, file := range missing {
		if err := create(filepath.Join(dir, filepath.FromSlash(file.Path)), file.Data); err != nil {
			return err
		}
	}
	return nil
}

// create writes a file that is not there yet.
func create(path string, data []byte) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("making the folder of %s: %w", path, err)
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return fmt.Errorf("writing %s: %w", path, err)
	}
	if _, err = file.Write(data); err == nil {
		err = file.Sync()
	}
	if err = errors.Join(err, file.Close()); err != nil {
		os.Remove(path)
		return fmt.Errorf("writing %s: %w", path, err)
	}
	return nil
}
