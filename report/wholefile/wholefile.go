// Package wholefile writes files so that at any moment a file is the old one or
// the new one, whole: whatever happens to the program, the disk or the machine.
//
// A file is written under another name beside its target, brought to the disk,
// and only then given its name. What a killed program leaves behind is
// recognised and removed by the next one that writes into the same folder.
package wholefile

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"

	"fieldheld/ingest/place"
)

// The unfinished files are named so that a person knows them too.
const (
	unfinished      = ".fieldheld-*.part"
	unchanged       = "the file that was there is unchanged"
	ownerMayWrite   = 0o200
	usualPermission = 0o666 // less what the umask takes
)

// saving is held while a file is written, so that a program that is told to end
// does so between two files.
var saving sync.RWMutex

// Stop waits until no file is being written and lets none be begun any more: what
// was written is whole, and nothing unfinished lies about. The program is meant to
// end after it.
func Stop() { saving.Lock() }

// File is a file to be written: where, and the function that writes its bytes.
type File struct {
	Path  string
	Write func(io.Writer) error
}

// Save writes files that belong together: every one is written and brought to the
// disk before the first is given its name, and the program is not told to end in
// between. An error of a function is returned as it is, one of the disk as a
// *place.Error; in both cases the files that were there are unchanged. Only where a
// name cannot be given have those before it been replaced, as the error says.
func Save(files ...File) error {
	saving.RLock()
	defer saving.RUnlock()
	var written []*unnamed
	defer func() {
		for _, u := range written {
			u.part.Close()
			os.Remove(u.part.Name())
		}
	}()
	for _, file := range files {
		u, err := write(file)
		if err != nil {
			return err
		}
		written = append(written, u)
	}
	named := ""
	for len(written) > 0 {
		path, u := files[len(files)-len(written)].Path, written[0]
		if err := u.name(); err != nil {
			return failed(path, "the file cannot be replaced", err, "if it is open in a viewer, close it and try again; "+unchanged+named)
		}
		named += "; " + path + " is written"
		written = written[1:]
	}
	return nil
}

// unnamed is a file that is whole on the disk and has not been given its name. It
// stays open until then, so that nobody takes it for abandoned.
type unnamed struct {
	part   *os.File
	target string
}

// name gives the file its name.
func (u *unnamed) name() error {
	if err := u.part.Close(); err != nil {
		return err
	}
	if err := os.Rename(u.part.Name(), u.target); err != nil {
		return err
	}
	syncFolder(filepath.Dir(u.target))
	return nil
}

// write writes a file beside its target.
func write(file File) (*unnamed, error) {
	target, permission, err := look(file.Path)
	if err != nil {
		return nil, err
	}
	dir := filepath.Dir(target)
	removeAbandoned(dir)
	part, err := create(dir)
	if err != nil {
		return nil, failed(file.Path, "no file can be written into this folder", err, "make the folder writable, or name another place with -o; nothing was written")
	}
	if err = fill(part, file); err == nil {
		err = finish(part, permission, target, file.Path)
	}
	if err != nil {
		part.Close()
		os.Remove(part.Name())
		return nil, err
	}
	return &unnamed{part, target}, nil
}

// look returns the file behind a link, and the permissions that the target has.
func look(path string) (target string, permission fs.FileMode, err error) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return path, usualPermission, nil
	case err != nil:
		return "", 0, failed(path, "the file cannot be looked at", err, "name another place with -o; nothing was written")
	case info.IsDir():
		return "", 0, failed(path, "a file is to be written here, and there is a folder of that name", nil, "name a file; nothing was written")
	case !info.Mode().IsRegular():
		return "", 0, failed(path, "this is no ordinary file", nil, "name a file; nothing was written")
	case info.Mode().Perm()&ownerMayWrite == 0:
		return "", 0, failed(path, "the file is write-protected", nil, "name another file with -o, or take the protection away if it may be replaced; "+unchanged)
	}
	target, err = filepath.EvalSymlinks(path)
	if err != nil {
		return "", 0, failed(path, "the link cannot be followed", err, "name another place with -o; nothing was written")
	}
	return target, info.Mode().Perm(), nil
}

// fill lets the function write. An error of the disk counts more than what the
// function makes of it.
func fill(part *os.File, file File) error {
	const buffer = 1 << 16
	buffered := bufio.NewWriterSize(part, buffer)
	written := file.Write(buffered)
	if err := buffered.Flush(); err != nil {
		return failed(file.Path, "the file cannot be written", err, "make room on the disk, or name another place with -o; "+unchanged)
	}
	return written
}

// finish brings the file to the disk. A file that it replaces leaves its
// permissions to it; a new one has those that every new file has.
func finish(part *os.File, permission fs.FileMode, target, path string) error {
	var changed error
	if _, err := os.Stat(target); err == nil {
		changed = part.Chmod(permission)
	}
	if err := errors.Join(changed, part.Sync()); err != nil {
		return failed(path, "the file cannot be brought to the disk", err, "see whether the disk is full or failing; "+unchanged)
	}
	return nil
}

func failed(path, what string, err error, hint string) error {
	m := place.Message{Place: place.Place{File: path}, What: what, Hint: hint}
	if err != nil {
		m.Found = err.Error()
	}
	return &place.Error{Messages: place.Messages{m}}
}

// create opens a new unfinished file that is marked as in use. Between its
// creation and its mark another program may take it for abandoned: then the next
// one is tried.
func create(dir string) (*os.File, error) {
	const attempts = 20
	for range attempts {
		name := strings.Replace(unfinished, "*", strconv.FormatUint(rand.Uint64(), 36), 1)
		part, err := os.OpenFile(filepath.Join(dir, name), os.O_RDWR|os.O_CREATE|os.O_EXCL, usualPermission)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		mark(part)
		mine, err := part.Stat()
		if err != nil {
			part.Close()
			return nil, err
		}
		if there, err := os.Stat(part.Name()); err == nil && os.SameFile(mine, there) {
			return part, nil
		}
		part.Close()
	}
	return nil, fmt.Errorf("other programs took away %d unfinished files one after the other", attempts)
}

// removeAbandoned removes what killed programs have left in a folder. That it
// cannot is no reason not to write.
func removeAbandoned(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, entry := range entries {
		if match, err := filepath.Match(unfinished, entry.Name()); err == nil && match && entry.Type().IsRegular() {
			removeIfAbandoned(filepath.Join(dir, entry.Name()))
		}
	}
}

// syncFolder makes the new name last. Windows cannot open folders for that, and
// needs no more than the renaming.
func syncFolder(dir string) {
	folder, err := os.Open(dir)
	if err != nil {
		return
	}
	defer folder.Close()
	_ = folder.Sync()
}
