package wording

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"sync"
	"text/template"
)

//go:embed english/*.tmpl
var english embed.FS

// Values are what a sentence tells, by the names that its wording uses. A value is
// written as fmt prints it: quantities and places have their String, a Text within
// a Text its own words. Every name that the wording uses has to be there; what does
// not apply is nil, zero or empty, which {{if}} tells.
type Values map[string]any

// Text is a sentence as a fact: the code that names it, and its values. Its words
// are those of the language. The zero Text says nothing.
type Text struct {
	Code   string
	Values Values
}

// Say returns the text of a code. The code is one of the templates of every
// language; a test compares codes and names of values with all calls.
func Say(code string, values Values) Text { return Text{Code: code, Values: values} }

// IsZero reports whether the text says nothing.
func (t Text) IsZero() bool { return t.Code == "" }

// String writes the sentence.
func (t Text) String() string { return t.part(t.Code) }

// Part writes what the wording adds to the sentence under the name of a part, such
// as "meaning"; nothing where it adds none. Its template is named "code:part".
func (t Text) Part(name string) string { return t.part(t.Code + ":" + name) }

func (t Text) part(name string) string { return sentences().render(name, t) }

// catalogue is the sentences of one language.
type catalogue struct{ templates *template.Template }

// sentences reads the templates when the first sentence is written: most commands
// that end well write none.
func sentences() *catalogue {
	reading.Do(func() { read = mustRead(english, "english") })
	return &read
}

// read is what sentences has read, once.
var (
	reading sync.Once
	read    catalogue
)

// join writes the items of a list with something between them.
func join(between string, list any) (string, error) {
	var items []string
	switch list := list.(type) {
	case []string:
		items = list
	case []Text:
		for _, text := range list {
			items = append(items, text.String())
		}
	case []int:
		for _, n := range list {
			items = append(items, fmt.Sprint(n))
		}
	default:
		return "", fmt.Errorf("join a %T: it is no list", list)
	}
	return strings.Join(items, between), nil
}

// last reports whether the item is the last one of a list.
func last(item int, list []string) bool { return item == len(list)-1 }

// mustRead reads the templates of a language. They may call join besides what is
// built in.
func mustRead(files fs.FS, folder string) catalogue {
	set := template.New(folder).Option("missingkey=error").Funcs(template.FuncMap{"join": join, "last": last})
	return catalogue{template.Must(set.ParseFS(files, folder+"/*.tmpl"))}
}

// render writes the template of a name with a text's values; nothing where the name
// is a part that the language does not have. A sentence that cannot be written, which
// the tests rule out, shows its code and values: a fault of wording hides no fact.
func (c *catalogue) render(name string, t Text) string {
	if t.IsZero() {
		return ""
	}
	found := c.templates.Lookup(name)
	if found == nil {
		if name != t.Code {
			return ""
		}
		return fmt.Sprint(t.Code, " ", map[string]any(t.Values))
	}
	var b strings.Builder
	if err := found.Execute(&b, t.Values); err != nil {
		return fmt.Sprint(t.Code, " ", map[string]any(t.Values))
	}
	return strings.TrimSpace(b.String())
}
