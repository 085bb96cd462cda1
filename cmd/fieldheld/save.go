package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// save writes a file so that at any moment the target is the old file or the new
// one, whole: into a temporary file beside it, synced, then renamed.
func save(path string, write func(io.Writer) error) (err error) {
	temporary, err := os.CreateTemp(filepath.Dir(path), ".fieldheld-*.part")
	if err != nil {
		return fmt.Errorf("cannot write beside %s: %w", path, err)
	}
	defer func() {
		if err != nil {
			temporary.Close()
			os.Remove(temporary.Name())
		}
	}()
	buffered := bufio.NewWriterSize(temporary, 1<<16)
	if err = write(buffered); err != nil {
		return err
	}
	if err = buffered.Flush(); err != nil {
		return fmt.Errorf("cannot write %s: %w; the file that was there is unchanged", path, err)
	}
	if err = temporary.Chmod(0o644); err != nil {
		return fmt.Errorf("cannot write %s: %w", path, err)
	}
	if err = temporary.Sync(); err != nil {
		return fmt.Errorf("cannot write %s to the disk: %w; the file that was there is unchanged", path, err)
	}
	if err = temporary.Close(); err != nil {
		return fmt.Errorf("cannot write %s: %w; the file that was there is unchanged", path, err)
	}
	if err = os.Rename(temporary.Name(), path); err != nil {
		return fmt.Errorf("cannot replace %s: %w; if it is open in a viewer, close it and try again (the file is unchanged)", path, err)
	}
	syncFolder(filepath.Dir(path))
	return nil
}

// syncFolder makes the renaming last. Windows cannot open folders for that, and
// needs no more than the renaming.
func syncFolder(dir string) {
	folder, err := os.Open(dir)
	if err != nil {
		return
	}
	defer folder.Close()
	_ = folder.Sync()
}
