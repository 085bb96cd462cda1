//go:build ignore

// Command collect copies the licence files of every module that is linked into
// the program into the folder modules, under the path of the module. Run it with
// `go generate ./templates/licences` after a module was added or updated.
package main

import (
	"fmt"
	"log"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
)

// program is the package whose modules are meant.
const program = "fieldheld/cmd/fieldheld"

// systems are those for which a release is built; they link different modules.
var systems = []string{"linux", "windows", "darwin"}

// licenceFile is what the files with licences, notices and grants are called.
var licenceFile = regexp.MustCompile(`(?i)^(un)?licen[cs]e|^copying|^notice|^patents`)

// more names what a licence file refers to. Where it leaves a choice, the choice
// is made here.
var more = map[string][]string{
	"github.com/golang/freetype": {"licenses/ftl.txt"}, // of two licences, the FreeType License
	"gonum.org/v1/gonum":         {"THIRD_PARTY_LICENSES"},
}

func main() {
	log.SetFlags(0)
	if err := collect("modules"); err != nil {
		log.Fatal(err)
	}
}

func collect(target string) error {
	found, err := linked()
	if err != nil {
		return err
	}
	if err := os.RemoveAll(target); err != nil {
		return err
	}
	for module, dir := range found {
		if err := copyLicences(module, dir, filepath.Join(target, filepath.FromSlash(module))); err != nil {
			return fmt.Errorf("%s: %w", module, err)
		}
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return fmt.Errorf("go env GOROOT: %w", err)
	}
	return copyLicences("std", strings.TrimSpace(string(root)), filepath.Join(target, "std"))
}

// linked returns the folder of every module that is linked on any system.
func linked() (map[string]string, error) {
	found := map[string]string{}
	for _, system := range systems {
		list := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}}\t{{.Dir}}{{end}}{{end}}", program)
		list.Env = append(os.Environ(), "GOOS="+system, "CGO_ENABLED=0")
		list.Stderr = os.Stderr
		out, err := list.Output()
		if err != nil {
			return nil, fmt.Errorf("listing the modules for %s: %w", system, err)
		}
		for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
			if module, dir, ok := strings.Cut(line, "\t"); ok {
				found[module] = dir
			}
		}
	}
	return found, nil
}

// copyLicences copies what a module's folder has at its top, and more.
func copyLicences(module, dir, target string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	var names []string
	for _, entry := range entries {
		if !entry.IsDir() && licenceFile.MatchString(entry.Name()) {
			names = append(names, entry.Name())
		}
	}
	for _, name := range more[module] {
		err := filepath.WalkDir(filepath.Join(dir, name), func(path string, entry os.DirEntry, err error) error {
			if err != nil || entry.IsDir() {
				return err
			}
			inside, err := filepath.Rel(dir, path)
			names = append(names, inside)
			return err
		})
		if err != nil {
			return err
		}
	}
	if len(names) == 0 {
		return fmt.Errorf("no licence file in %s; look for it by hand", dir)
	}
	for _, name := range names {
		text, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			return err
		}
		if err := os.MkdirAll(target, 0o755); err != nil {
			return err
		}
		flat := strings.ReplaceAll(filepath.ToSlash(name), "/", "-") // one folder a module
		if err := os.WriteFile(filepath.Join(target, flat), text, 0o644); err != nil {
			return err
		}
	}
	return nil
}
