package pdf

import (
	"strings"

	"fieldheld/charts"
)

// fact is one line of what is known: a label and its value. An empty value is
// printed as not stated, never left out.
type fact struct {
	label, value string
	customer     bool // the customer supplied it
}

const (
	labelWide = 112.0
	notStated = "not stated"
	dagger    = "†" // marks what the customer supplied
)

// facts sets a list of facts.
func (f *flow) facts(list []fact) {
	x := f.format.left() + labelWide
	for _, fact := range list {
		label := fact.label
		if fact.customer {
			label += " " + dagger
		}
		value, s := clean(fact.value), textStyle
		if strings.TrimSpace(value) == "" {
			value, s = notStated, textStyle.in(charts.Quiet)
		}
		lines := f.types.wrap(s, value, min(f.format.body()-labelWide, f.measureOf(s)))
		labels := f.types.wrap(labelStyle, label, labelWide-10)
		f.reserve(s.leading * float64(max(min(len(lines), 3), len(labels))))
		for i, line := range labels {
			f.text(f.format.left(), f.y+s.size*1.05+float64(i)*labelStyle.leading, labelStyle, line)
		}
		for i, line := range lines {
			if i > 0 {
				f.reserve(s.leading)
			}
			f.text(x, f.y+s.size*1.05, s, line)
			f.y += s.leading
		}
		if extra := float64(len(labels))*labelStyle.leading - float64(len(lines))*s.leading; extra > 0 {
			f.y += extra
		}
		f.y += 2
	}
	f.y += 6
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
