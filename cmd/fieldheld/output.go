package main

import (
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fieldheld/ingest"
	"fieldheld/report/seal/issue"
	"fieldheld/report/wholefile"
)

// output is a file that a command is asked to write; no path, nothing to write.
type output struct {
	flag, path string
	judged     bool // whether it may replace a report is asked later, when its bytes are known
	write      func(io.Writer) error
}

// standard reports whether the output goes to standard output.
func (o output) standard() bool { return o.path == "-" || o.path == "/dev/stdout" }

// save writes outputs that belong together: the files whole, and all of them or
// none; what goes to standard output after them.
func save(cmd *cobra.Command, outputs ...output) error {
	var files []wholefile.File
	for _, o := range outputs {
		if o.path != "" && !o.standard() {
			files = append(files, wholefile.File{Path: o.path, Write: o.write})
		}
	}
	if err := wholefile.Save(files...); err != nil {
		return err
	}
	for _, o := range outputs {
		if o.standard() {
			return o.write(cmd.OutOrStdout())
		}
	}
	return nil
}

// bytesOf returns the function that writes the bytes.
func bytesOf(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}

// writeDay writes the files of a day by their paths below its folder, all of them
// or none, and makes the folders that it needs.
func writeDay(dir string, contents map[string][]byte, folders ...string) error {
	var files []wholefile.File
	for _, name := range slices.Sorted(maps.Keys(contents)) {
		files = append(files, wholefile.File{Path: filepath.Join(dir, filepath.FromSlash(name)), Write: bytesOf(contents[name])})
		folders = append(folders, path.Dir(name))
	}
	for _, folder := range folders {
		if err := os.MkdirAll(filepath.Join(dir, filepath.FromSlash(folder)), 0o755); err != nil {
			return err
		}
	}
	return wholefile.Save(files...)
}

// as returns the output with the function that writes its bytes.
func (o output) as(write func(io.Writer) error) output {
	o.write = write
	return o
}

// answersTo is where a command prints what it has to say: standard output, unless
// a file that it writes goes there.
func answersTo(cmd *cobra.Command, outputs ...output) io.Writer {
	for _, o := range outputs {
		if o.standard() {
			return cmd.ErrOrStderr()
		}
	}
	return cmd.OutOrStdout()
}

// inputsOf lists the files of a day as paths.
func inputsOf(dir string, folder *ingest.Folder) []string {
	var inputs []string
	for _, name := range folder.Named() {
		inputs = append(inputs, filepath.Join(dir, filepath.FromSlash(name)))
	}
	return inputs
}

// mayWrite reports an output that is one of the inputs, whatever its spelling, its
// case or a link, that is no ordinary file, or that two flags name. It is asked
// before anything is written.
func mayWrite(inputs []string, outputs ...output) error {
	for i, o := range outputs {
		if o.path == "" || o.standard() {
			continue
		}
		if info, err := os.Stat(o.path); err == nil && !info.Mode().IsRegular() && !info.IsDir() {
			return fmt.Errorf("%s %s is no ordinary file; name a file, or - for standard output; nothing was written", o.flag, printable(o.path))
		}
		if !o.judged {
			if err := issue.MayReplace(o.path, nil); err != nil {
				return err
			}
		}
		for _, input := range inputs {
			if sameFile(o.path, input) {
				return fmt.Errorf("%s %s would replace an input, %s; name another file; nothing was written", o.flag, printable(o.path), printable(input))
			}
		}
		for _, other := range outputs[:i] {
			if other.path != "" && sameFile(o.path, other.path) {
				return fmt.Errorf("%s and %s name one file, %s; name two; nothing was written", other.flag, o.flag, printable(o.path))
			}
		}
	}
	if standard := countStandard(outputs); standard > 1 {
		return errors.New("only one file can be written to standard output; nothing was written")
	}
	return nil
}

func countStandard(outputs []output) int {
	n := 0
	for _, o := range outputs {
		if o.standard() {
			n++
		}
	}
	return n
}

// sameFile reports whether two paths lead to one file. Of a file that is not there
// the folder is compared and the name, whatever its case: some disks tell no
// difference.
func sameFile(a, b string) bool {
	first, errA := os.Stat(a)
	second, errB := os.Stat(b)
	if errA == nil && errB == nil {
		return os.SameFile(first, second)
	}
	return strings.EqualFold(realPath(a), realPath(b))
}

// realPath is an absolute path whose folder has no links left, behind a link the
// path that it leads to, whether there is a file or not.
func realPath(path string) string {
	const links = 40 // more are a circle
	for range links {
		absolute, err := filepath.Abs(path)
		if err != nil {
			return path
		}
		if dir, err := filepath.EvalSymlinks(filepath.Dir(absolute)); err == nil {
			absolute = filepath.Join(dir, filepath.Base(absolute))
		}
		target, err := os.Readlink(absolute)
		if err != nil {
			return absolute
		}
		if path = target; !filepath.IsAbs(target) {
			path = filepath.Join(filepath.Dir(absolute), target)
		}
	}
	return path
}
