package newday

import (
	_ "embed" // the form
	"regexp"
	"strings"
)

//go:embed form.toml
var formText string

// Form returns the form of a job sheet as a text for a terminal of 80 columns:
// TOML with every key that a sheet may have, an example of each, and what it
// means. "!" marks the keys that a check needs, "+" those that a report needs.
func Form() string { return formText }

// section is one table of the form.
type section struct {
	name  string   // as the header writes it: "run.probe"
	list  bool     // an array of tables
	about []string // comment lines above the header
	keys  []key
}

// key is one key of a section.
type key struct {
	name    string // dotted: "power.file"
	example string // a value, as TOML
	about   []string
	help    string // behind the value
	need    need
}

// need says what lacks something without the key.
type need int

const (
	optional need = iota
	forCheck
	forReport
)

// headLine matches the head of a table, keyLine a key with its example and help.
// What excludes another key or table of the form is commented out.
var (
	headLine = regexp.MustCompile(`^(?:# )?(\[\[?)([a-z_.]+)\]\]?$`)
	keyLine  = regexp.MustCompile(`^(?:# )?([a-z_.]+) = (.*?)(?: +# (.*))?$`)
)

// readForm takes the form apart.
func readForm() []section {
	var sections []section
	var about []string
	for line := range strings.Lines(formText) {
		line = strings.TrimSpace(line)
		if m := headLine.FindStringSubmatch(line); m != nil {
			sections = append(sections, section{name: m[2], list: m[1] == "[[", about: about})
			about = nil
		} else if m := keyLine.FindStringSubmatch(line); m != nil {
			k := key{name: m[1], example: m[2], about: about}
			k.need, k.help = needOf(m[3])
			last := &sections[len(sections)-1]
			last.keys = append(last.keys, k)
			about = nil
		} else if line != "" {
			about = append(about, line)
		}
	}
	return sections
}

func needOf(help string) (need, string) {
	if rest, ok := strings.CutPrefix(help, "!"); ok {
		return forCheck, strings.TrimSpace(rest)
	}
	if rest, ok := strings.CutPrefix(help, "+"); ok {
		return forReport, strings.TrimSpace(rest)
	}
	return optional, help
}

// find returns the section in which a path of keys lies, and the rest of the
// path; nil where the form has none.
func find(sections []section, path []string) (*section, []string) {
	for n := len(path); n > 0; n-- {
		name := strings.Join(path[:n], ".")
		for i := range sections {
			if sections[i].name == name {
				return &sections[i], path[n:]
			}
		}
	}
	return nil, path
}
