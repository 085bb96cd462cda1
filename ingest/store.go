package ingest

import (
	"bytes"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"time"

	"fieldheld/ingest/regular"
)

// store is where the files of a day stand. Paths have forward slashes.
type store interface {
	Open(path string) (fs.File, error)
	Stat(path string) (fs.FileInfo, error)
	Same(a, b fs.FileInfo) bool // whether both are of one file
	Close() error
}

// onDisk is a folder of the machine. Nothing outside it can be opened.
type onDisk struct{ root *os.Root }

// Open opens a regular file; a pipe or a device in the place of one is an error.
func (d onDisk) Open(path string) (fs.File, error) {
	return regular.OpenIn(d.root, filepath.FromSlash(path))
}

func (d onDisk) Stat(path string) (fs.FileInfo, error) { return d.root.Stat(filepath.FromSlash(path)) }

func (onDisk) Same(a, b fs.FileInfo) bool { return os.SameFile(a, b) }

func (d onDisk) Close() error { return d.root.Close() }

// inMemory are the bytes of files by their paths, as a job sheet writes them.
type inMemory map[string][]byte

func (m inMemory) Open(path string) (fs.File, error) {
	info, err := m.stat("open", path)
	if err != nil {
		return nil, err
	}
	return &memoryFile{bytes.NewReader(m[path]), info}, nil
}

func (m inMemory) Stat(path string) (fs.FileInfo, error) { return m.stat("stat", path) }

func (m inMemory) stat(doing, name string) (memoryInfo, error) {
	data, ok := m[name]
	if !ok {
		return memoryInfo{}, &fs.PathError{Op: doing, Path: name, Err: fs.ErrNotExist}
	}
	return memoryInfo{name: path.Clean(name), size: int64(len(data))}, nil
}

// Same compares the paths: "a/./b" is "a/b".
func (inMemory) Same(a, b fs.FileInfo) bool {
	x, _ := a.(memoryInfo)
	y, _ := b.(memoryInfo)
	return x.name == y.name
}

func (inMemory) Close() error { return nil }

type memoryFile struct {
	*bytes.Reader
	info memoryInfo
}

func (f *memoryFile) Stat() (fs.FileInfo, error) { return f.info, nil }
func (f *memoryFile) Close() error               { return nil }

type memoryInfo struct {
	name string // the cleaned path
	size int64
}

func (i memoryInfo) Name() string       { return path.Base(i.name) }
func (i memoryInfo) Size() int64        { return i.size }
func (i memoryInfo) Mode() fs.FileMode  { return 0o400 }
func (i memoryInfo) ModTime() time.Time { return time.Time{} }
func (i memoryInfo) IsDir() bool        { return false }
func (i memoryInfo) Sys() any           { return nil }
