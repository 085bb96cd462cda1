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
	"fieldheld/templates/wording"
)

// The unfinished files are named so that a person knows them too.
const (
	unfinished      = ".fieldheld-*.part"
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
	var named []string
	for len(written) > 0 {
		path, u := files[len(files)-len(written)].Path, written[0]
		if err := u.name(); err != nil {
			return failed(path, wording.Say("output.not-replaced", wording.Values{"error": err, "written": named}))
		}
		named = append(named, path)
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
		return nil, failed(file.Path, wording.Say("output.folder-closed", wording.Values{"error": err}))
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
		return "", 0, failed(path, wording.Say("output.not-looked-at", wording.Values{"error": err}))
	case info.IsDir():
		return "", 0, failed(path, wording.Say("output.is-folder", nil))
	case !info.Mode().IsRegular():
		return "", 0, failed(path, wording.Say("output.not-regular", nil))
	case info.Mode().Perm()&ownerMayWrite == 0:
		return "", 0, failed(path, wording.Say("output.protected", nil))
	}
	target, err = filepath.EvalSymlinks(path)
	if err != nil {
		return "", 0, failed(path, wording.Say("output.link", wording.Values{"error": err}))
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
		return failed(file.Path, wording.Say("output.not-written", wording.Values{"error": err}))
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
		return failed(path, wording.Say("output.not-on-disk", wording.Values{"error": err}))
	}
	return nil
}

func failed(path string, text wording.Text) error {
	return place.NewError(place.Place{File: path}, text)
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
