package ingest

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/regular"
	"fieldheld/ingest/table"
)

// loose is a file that belongs to no day.
type loose struct{ path string }

// Name returns the path as it was given, with forward slashes.
func (l loose) Name() string { return filepath.ToSlash(l.path) }

// Size returns the size of the file, -1 where it cannot be told.
func (l loose) Size() int64 {
	info, err := os.Stat(l.path)
	if err != nil {
		return -1
	}
	return info.Size()
}

// Open opens the file at its first byte.
func (l loose) Open() (io.ReadCloser, error) { return regular.Open(l.path) }

// LookAt says how a file is read that belongs to no day: with nothing stated
// about it but the sheet of a workbook, in UTC where its times carry no zone.
func LookAt(path, sheet string, kind record.Kind) (*record.Look, error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, fmt.Errorf("%s is not there", path)
	case err != nil:
		return nil, fmt.Errorf("the file cannot be looked at: %w", err)
	case info.IsDir():
		return nil, fmt.Errorf("%s is a folder; name a file in it", path)
	}
	file, err := regular.Open(path) // says of what kind it is, where it is no file
	if err != nil {
		return nil, err
	}
	if err := file.Close(); err != nil {
		return nil, fmt.Errorf("closing %s: %w", path, err)
	}
	entry := table.Entry{File: filepath.ToSlash(path), Sheet: sheet, FrequencyResolution: quantity.Undefined[quantity.Frequency]()}
	look, err := record.LookAt(loose{path}, entry, record.Settings{}, kind)
	if err == nil && sheet != "" && look.Sheet == "" {
		return nil, fmt.Errorf("%s is a text, which has no sheets, and a sheet was named", path)
	}
	return look, err
}

// LookAt says how the job sheet of the day has a file read: once for each way in
// which the sheet names it. The path is that of the file, in the day's folder.
func (f *Folder) LookAt(dir, path string, maxGap time.Duration) ([]*record.Look, error) {
	name := filepath.ToSlash(path)
	if inside, err := filepath.Rel(dir, path); err == nil && filepath.IsLocal(inside) {
		name = filepath.ToSlash(inside)
	}
	var looks []*record.Look
	seen := map[string]bool{}
	for _, named := range f.Sheet.Files() {
		kind := kindOf(named.Role)
		if named.Entry.File != name || kind.kind == record.AnyKind {
			continue
		}
		key := fmt.Sprintf("%s %d %s %v %v", kind.kind, kind.use, named.Entry.Sheet, named.Entry.Columns, named.Entry.Numbers)
		if seen[key] {
			continue
		}
		seen[key] = true
		settings := record.Settings{Zone: f.Sheet.Report.Zone, Date: f.Sheet.AboutDate(), MaxGap: maxGap, Use: kind.use}
		look, err := record.LookAt(&source{folder: f, path: name}, *named.Entry, settings, kind.kind)
		if err != nil {
			return nil, err
		}
		looks = append(looks, look)
	}
	if len(looks) == 0 {
		return nil, fmt.Errorf("the job sheet names no file %s; without --job it is looked at as it stands", name)
	}
	return looks, nil
}
