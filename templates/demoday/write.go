package demoday

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"sort"

	"fieldheld/report/render/book"
)

// Write writes the day's files into the folder, which is made where it does
// not exist. Files that are there already are replaced.
func (d *Day) Write(dir string) error {
	files, err := d.Files()
	if err != nil {
		return err
	}
	for _, path := range sortedPaths(files) {
		target := filepath.Join(dir, filepath.FromSlash(path))
		if err := os.MkdirAll(filepath.Dir(target), 0o755); err != nil {
			return fmt.Errorf("write day: %w", err)
		}
		if err := os.WriteFile(target, files[path], 0o644); err != nil {
			return fmt.Errorf("write day: %w", err)
		}
	}
	return nil
}

// Files returns the bytes of the day's files by path, with forward slashes.
func (d *Day) Files() (map[string][]byte, error) {
	files := map[string][]byte{"job.toml": []byte(d.jobSheet())}
	if d.Requirement != nil {
		files[d.Sheet.Requirement.File] = []byte(d.Requirement.text())
	}
	for _, picture := range d.Pictures {
		files[picture.File] = picture.Data
	}
	workbooks := map[string][]book.Sheet{}
	for _, g := range d.grids() {
		path := g.file.Entry.File
		if g.file.Layout.Workbook {
			sheet, err := g.sheet()
			if err != nil {
				return nil, fmt.Errorf("write %s: %w", path, err)
			}
			workbooks[path] = append(workbooks[path], sheet)
			continue
		}
		var text bytes.Buffer
		if err := g.writeText(&text); err != nil {
			return nil, fmt.Errorf("write %s: %w", path, err)
		}
		files[path] = text.Bytes()
	}
	for path, sheets := range workbooks {
		var written bytes.Buffer
		if err := book.Write(&written, sheets); err != nil {
			return nil, fmt.Errorf("write %s: %w", path, err)
		}
		files[path] = written.Bytes()
	}
	return files, nil
}

// grids returns the tables of the day in the order of the job sheet, each once.
func (d *Day) grids() []grid {
	var grids []grid
	seen := map[any]bool{}
	add := func(record interface{ grid() grid }) {
		if !seen[record] {
			seen[record] = true
			grids = append(grids, record.grid())
		}
	}
	if len(d.Register.Assets) > 0 {
		add(&d.Register)
	}
	for _, run := range d.Runs {
		add(run.Dwell)
		if run.Power != nil {
			add(run.Power)
		}
		if run.Motion != nil {
			add(run.Motion)
		}
		for _, c := range []*Correction{run.Forward, run.Reflected} {
			if c != nil {
				add(c)
			}
		}
		for _, p := range run.Probes {
			add(p.Log)
			if p.Correction != nil {
				add(p.Correction)
			}
		}
	}
	return grids
}

func sortedPaths(files map[string][]byte) []string {
	paths := make([]string, 0, len(files))
	for path := range files {
		paths = append(paths, path)
	}
	sort.Strings(paths)
	return paths
}
