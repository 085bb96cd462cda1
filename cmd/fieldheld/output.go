package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fieldheld/ingest"
	"fieldheld/report/issue"
	"fieldheld/report/wholefile"
)

// output is a file that a command is asked to write; no path, nothing to write.
type output struct {
	flag, path string
	judged     bool // whether it may replace a report is asked later, when its bytes are known
}

// standard reports whether the output goes to standard output.
func (o output) standard() bool { return o.path == "-" || o.path == "/dev/stdout" }

// save writes the output: whole, or to standard output.
func (o output) save(cmd *cobra.Command, write func(io.Writer) error) error {
	switch {
	case o.path == "":
		return nil
	case o.standard():
		return write(cmd.OutOrStdout())
	}
	return wholefile.Save(o.path, write)
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
