// Package regular opens regular files and nothing else. A named pipe, a device or
// a socket in the place of a file would make a program wait for ever, or read for
// ever; whether it is one is asked of the open file, so that nobody can exchange
// it in between, and opening does not wait.
package regular

import (
	"fmt"
	"io"
	"io/fs"
	"os"
)

// A NotRegularError says what stands in the place of a file.
type NotRegularError struct {
	Path string
	Kind string // with its article
}

func (e *NotRegularError) Error() string {
	return fmt.Sprintf("%s is %s, not a file", e.Path, e.Kind)
}

// Open opens a regular file for reading. The error is a *NotRegularError where
// something else stands there.
func Open(path string) (*os.File, error) {
	file, err := os.OpenFile(path, os.O_RDONLY|doNotWait, 0)
	return only(path, file, err)
}

// OpenIn is Open within a folder, out of which no path leads.
func OpenIn(root *os.Root, path string) (*os.File, error) {
	file, err := root.OpenFile(path, os.O_RDONLY|doNotWait, 0)
	return only(path, file, err)
}

// Read reads a whole regular file of at most so many bytes.
func Read(path string, most int64) ([]byte, error) {
	file, err := Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	data, err := io.ReadAll(io.LimitReader(file, most+1))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", path, err)
	}
	if int64(len(data)) > most {
		return nil, fmt.Errorf("%s is larger than %d MiB", path, most>>20)
	}
	return data, nil
}

func only(path string, file *os.File, err error) (*os.File, error) {
	if err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err == nil && !info.Mode().IsRegular() {
		err = &NotRegularError{Path: path, Kind: kindOf(info.Mode())}
	}
	if err != nil {
		file.Close()
		return nil, err
	}
	return file, nil
}

func kindOf(mode fs.FileMode) string {
	switch {
	case mode.IsDir():
		return "a folder"
	case mode&fs.ModeNamedPipe != 0:
		return "a named pipe"
	case mode&fs.ModeSocket != 0:
		return "a socket"
	case mode&fs.ModeDevice != 0:
		return "a device"
	default:
		return "something else"
	}
}
