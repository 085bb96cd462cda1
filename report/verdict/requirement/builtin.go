package requirement

import (
	"fmt"
	"io/fs"
	"strings"

	"fieldheld/ingest/place"
	"fieldheld/templates"
	"fieldheld/templates/wording"
)

// Summary is what a list of requirements says of one.
type Summary struct {
	Name, Title, Edition, Source string
}

// Builtin returns the built-in requirement of that name, as its document states
// it. For an unknown name the error offers the nearest ones.
func Builtin(name string) (*Requirement, error) {
	text, err := BuiltinText(name)
	if err != nil {
		return nil, err
	}
	r, err := Parse(text, name+".toml")
	if err != nil {
		return nil, fmt.Errorf("built-in requirement: %w", err)
	}
	r.Name = name
	return r, nil
}

// BuiltinText returns the TOML of the built-in requirement of that name. A
// laboratory can save it, change it and use it as a requirement of its own.
func BuiltinText(name string) ([]byte, error) {
	names := builtinNames()
	for _, known := range names {
		if known == name {
			return fs.ReadFile(templates.Requirements(), name+".toml")
		}
	}
	return nil, place.NewError(place.Place{}, wording.Say("requirement.unknown-profile", wording.Values{"found": name, "near": nearest(name, names)}))
}

// Names lists the built-in requirements, sorted by name.
func Names() []Summary {
	var list []Summary
	for _, name := range builtinNames() {
		r, err := Builtin(name)
		if err != nil {
			panic(err) // what is built in has a test that reads every one
		}
		list = append(list, Summary{Name: name, Title: r.Title, Edition: r.Edition, Source: r.Source})
	}
	return list
}

func builtinNames() []string {
	files, err := fs.Glob(templates.Requirements(), "*.toml")
	if err != nil {
		panic(err) // only a malformed pattern fails
	}
	names := make([]string, len(files))
	for i, file := range files {
		names[i] = strings.TrimSuffix(file, ".toml")
	}
	return names
}

// nearest returns the names that contain every word of the name asked for, else
// the one that is written most alike, else none.
func nearest(name string, names []string) []string {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return r == '-' || r == ' ' || r == '_' })
	var near []string
	for _, known := range names {
		if len(words) > 0 && containsAll(known, words) {
			near = append(near, known)
		}
	}
	if len(near) > 0 && len(near) < len(names) {
		return near
	}
	if one := place.Nearest(name, names); one != "" {
		return []string{one}
	}
	return nil
}

func containsAll(text string, words []string) bool {
	for _, word := range words {
		if !strings.Contains(text, word) {
			return false
		}
	}
	return true
}
