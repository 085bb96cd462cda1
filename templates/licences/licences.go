// Package licences holds the licence texts of everything that a binary of the
// program carries: the typefaces, the modules that are linked into it, and the
// Go standard library. The texts of the modules are copies of the files that
// come with them; collect.go copies them, and a test compares the list with the
// modules that are linked.
package licences

import (
	"embed"
	"io/fs"
	"path"
	"sort"
	"strings"

	"fieldheld/templates/fonts"
)

//go:generate go run collect.go

//go:embed modules
var modules embed.FS

// Standard is how List names the Go standard library.
const Standard = "Go standard library"

// Licence is what one part of the binary is licensed under.
type Licence struct {
	Part  string // path of a module, name of a typeface, or Standard
	Texts []Text // at least one
}

// Text is one file of a licence.
type Text struct{ Name, Text string }

// List returns the licences: the typefaces, the standard library, and then the
// modules, sorted by path.
func List() []Licence {
	list := []Licence{
		{"typeface IBM Plex Sans", []Text{{"licence", fonts.PlexLicence}}},
		{"typeface DejaVu Sans Condensed", []Text{{"licence", fonts.DejaVuLicence}}},
	}
	byModule := map[string][]Text{}
	err := fs.WalkDir(modules, "modules", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := fs.ReadFile(modules, name)
		module := strings.TrimPrefix(path.Dir(name), "modules/")
		byModule[module] = append(byModule[module], Text{path.Base(name), string(text)})
		return err
	})
	if err != nil {
		panic("the embedded folder cannot be read: " + err.Error())
	}
	list = append(list, Licence{Standard, byModule["std"]})
	for _, module := range sorted(byModule) {
		if module != "std" {
			list = append(list, Licence{module, byModule[module]})
		}
	}
	return list
}

func sorted(byModule map[string][]Text) []string {
	var names []string
	for name := range byModule {
		names = append(names, name)
	}
	sort.Strings(names)
	return names
}
