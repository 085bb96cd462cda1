package newday

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// The columns of the sheet: where the remark behind a value begins, and up to
// which one it may reach before it goes above the value.
const (
	remarkColumn = 38
	lastColumn   = 100
)

// renderer writes a job sheet along the form: values where there are any, else
// the key commented out with an example.
type renderer struct {
	strings.Builder
	form   []section
	blocks blocks
	former map[string]string // values that were not taken over, by section and key
	date   string            // of the test, for the examples
}

// render returns the text of the sheet.
func (r *renderer) render(title []string) string {
	for _, line := range title {
		r.line("# " + line)
	}
	for i := range r.form {
		if s := &r.form[i]; !strings.Contains(s.name, ".") {
			r.section(s)
		}
	}
	return r.String()
}

func (r *renderer) line(text string) { r.WriteString(strings.TrimRight(text, " ") + "\n") }

// section writes every block of a section, or the section as an example, and the
// sections inside it.
func (r *renderer) section(s *section) {
	r.line("")
	for _, line := range s.about {
		r.line(line)
	}
	shown := false
	for i, b := range r.blocks {
		if b.section != s.name || len(b.values) == 0 {
			continue
		}
		if shown {
			r.line("")
		}
		r.block(s, b, shown)
		r.children(s, i, shown)
		shown = true
	}
	if !shown {
		r.block(s, &block{}, false)
		r.children(s, len(r.blocks), false)
	}
}

// children writes the sections inside the block with an index: their blocks up
// to the next block of the section.
func (r *renderer) children(s *section, of int, brief bool) {
	for i := range r.form {
		child := &r.form[i]
		if !strings.HasPrefix(child.name, s.name+".") {
			continue
		}
		again := brief
		for _, b := range r.blocks[min(of+1, len(r.blocks)):] {
			if b.section == s.name && s.list {
				break
			}
			if b.section == child.name {
				r.child(child, b, again)
				again = true
			}
		}
		if !again {
			r.child(child, &block{}, false)
		}
	}
}

func (r *renderer) child(s *section, b *block, brief bool) {
	if !brief {
		r.line("")
		for _, line := range s.about {
			r.line(line)
		}
	}
	r.block(s, b, brief)
}

// block writes a table. Brief, it has its values alone, without remarks.
func (r *renderer) block(s *section, b *block, brief bool) {
	header := "[" + s.name + "]"
	if s.list {
		header = "[" + header + "]"
	}
	if len(b.values) == 0 {
		header = "# " + header
	}
	r.line(header)
	written := assign(s, b)
	for i, k := range s.keys {
		r.key(s, k, written[i], brief)
	}
	for _, v := range written[len(s.keys)] {
		r.line(v.key + " = " + v.toml)
	}
}

// assign gives each value of a block to the key of the form that shows it; the
// last list holds those that none shows.
func assign(s *section, b *block) [][]value {
	written := make([][]value, len(s.keys)+1)
	for _, v := range b.values {
		at := len(s.keys)
		for i := len(s.keys) - 1; i >= 0; i-- {
			name := s.keys[i].name
			if name == v.key || strings.HasPrefix(v.key, name+".") || strings.HasPrefix(name, v.key+".") {
				at = i
				break
			}
			if at == len(s.keys) && stands(name, v.key) {
				at = i
			}
		}
		written[at] = append(written[at], v)
	}
	return written
}

// representative are the keys of the form that stand for others beside them. An
// entry of a file has keys that the form shows once, in [[run.probe]].
var representative = map[string]bool{
	"omitted.photos": true, "reasons.settle": true, "columns.field": true, "units.field": true,
	"dwell.file": true, "motion.file": true, "power.reflected_correction": true,
}

// stands reports whether a key of the form stands for another one.
func stands(name, other string) bool {
	return representative[name] && strings.HasPrefix(other, name[:strings.IndexByte(name, '.')+1])
}

// key writes the values that a key of the form shows, or the key as an example.
func (r *renderer) key(s *section, k key, written []value, brief bool) {
	if brief {
		for _, v := range written {
			r.line(v.key + " = " + v.toml)
		}
		return
	}
	for _, line := range k.about {
		r.line(line)
	}
	for i, v := range written {
		remark := k.help
		if i > 0 {
			remark = ""
		}
		r.remarked(v.key+" = "+v.toml, remark)
	}
	if len(written) == 0 {
		example, remark := strings.ReplaceAll(k.example, exampleDate, r.date), k.remark()
		if former, ok := r.former[s.name+"."+k.name]; ok {
			example, remark = former, strings.TrimPrefix(remark+"; on the former day", "; ")
		}
		r.remarked("# "+k.name+" = "+example, remark)
	}
}

// exampleDate is the date of the test in the examples of the form.
const exampleDate = "2026-11-18"

func (k key) remark() string {
	switch {
	case k.need == forCheck:
		return strings.TrimSuffix("needed: "+k.help, ": ")
	case k.need == forReport:
		return strings.TrimSuffix("a report needs it: "+k.help, ": ")
	}
	return k.help
}

// remarked writes a line with a remark behind it, or above it where it is long.
func (r *renderer) remarked(line, remark string) {
	switch wide := utf8.RuneCountInString(line); {
	case remark == "":
		r.line(line)
	case max(wide+1, remarkColumn)+2+utf8.RuneCountInString(remark) > lastColumn:
		r.line("# " + remark)
		r.line(line)
	default:
		r.line(fmt.Sprintf("%-*s # %s", remarkColumn-1, line, remark))
	}
}
