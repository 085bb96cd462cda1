package pdf

import (
	"strings"

	"fieldheld/report/render/layout"
)

// fact is one line of what is known: a label and its value. An empty value is
// printed as not stated, never left out.
type fact struct {
	label, value string
	customer     bool // the customer supplied it
}

const (
	notStated = "not stated"
	dagger    = "†" // marks what the customer supplied
)

// setFacts sets a list of facts.
func setFacts(f *layout.Flow, list []fact) {
	items := make([]layout.Particular, len(list))
	for i, fact := range list {
		items[i] = fact.particular()
	}
	f.Particulars(items)
}

// particular is the fact as it is set.
func (f fact) particular() layout.Particular {
	p := layout.Particular{Label: f.label, Value: clean(f.value)}
	if f.customer {
		p.Label += " " + dagger
	}
	if strings.TrimSpace(p.Value) == "" {
		p.Value, p.Quiet = notStated, true
	}
	return p
}

// list joins what is not empty.
func list(separator string, parts ...string) string {
	var kept []string
	for _, p := range parts {
		if strings.TrimSpace(p) != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, separator)
}
