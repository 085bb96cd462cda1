package compare

import (
	"fmt"
	"sort"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// sheets adds what the job sheets say otherwise, key by key. A sheet that one of
// the reports does not carry cannot be compared, which is said where it differs.
func (l *list) sheets(old, now *side) error {
	for _, file := range names(old.inputs, now.inputs) {
		if !isSheet(file) || old.inputs[file] == now.inputs[file] {
			continue
		}
		before, err := parsed(old, file)
		if err != nil {
			return err
		}
		after, err := parsed(now, file)
		if err != nil {
			return err
		}
		missing := func(s *side, content any) bool { return s.inputs[file] != "" && content == nil }
		if missing(old, before) || missing(now, after) {
			l.add("text of "+file, "not compared", "one of the reports carries no input files")
			continue
		}
		l.values(file+": ", "", before, after)
	}
	return nil
}

// parsed returns the contents of a sheet; nil where the report does not carry it.
func parsed(s *side, file string) (any, error) {
	data, carried := s.sheets[file]
	if !carried {
		return nil, nil
	}
	content := map[string]any{}
	if err := toml.Unmarshal(data, &content); err != nil {
		return nil, fmt.Errorf("the job sheet %s cannot be read: %w", file, err)
	}
	return content, nil
}

// values adds the keys at and below a path that differ.
func (l *list) values(prefix, path string, before, after any) {
	old, isOld := table(before)
	now, isNow := table(after)
	if (isOld || before == nil) && (isNow || after == nil) && path == "" || isOld && isNow {
		for _, key := range names(old, now) {
			at := key
			if path != "" {
				at = path + "." + key
			}
			l.values(prefix, at, old[key], now[key])
		}
		return
	}
	entriesOld, listOld := entries(before)
	entriesNow, listNow := entries(after)
	if listOld && (listNow || after == nil) || listNow && before == nil {
		for _, name := range names(entriesOld, entriesNow) {
			l.values(prefix, path+"["+name+"]", entriesOld[name], entriesNow[name])
		}
		return
	}
	l.add(prefix+path, inWords(before), inWords(after))
}

func table(value any) (map[string]any, bool) {
	t, ok := value.(map[string]any)
	return t, ok
}

// naming are the keys by which people tell the entries of a list apart, the
// better ones first.
var naming = []string{"id", "asset", "name", "role", "file", "folder", "frequency", "at", "covers"}

// entries returns the tables of a list by their names, so that an entry that
// moved is no change and a new one does not rename those behind it.
func entries(value any) (map[string]any, bool) {
	list, ok := value.([]any)
	if !ok || len(list) == 0 {
		return nil, false
	}
	named := map[string]any{}
	for i, item := range list {
		t, ok := table(item)
		if !ok {
			return nil, false
		}
		name := fmt.Sprint(i + 1)
		for _, key := range naming {
			if text := inWords(t[key]); text != "" {
				name = text
				break
			}
		}
		unique := name
		for n := 2; named[unique] != nil; n++ {
			unique = fmt.Sprintf("%s, %d", name, n)
		}
		named[unique] = t
	}
	return named, true
}

// inWords writes a value on one line; "" for one that is not there.
func inWords(value any) string {
	switch v := value.(type) {
	case nil:
		return ""
	case string:
		return strings.Join(strings.Fields(v), " ")
	case map[string]any:
		var parts []string
		for key, inner := range v {
			parts = append(parts, key+" = "+inWords(inner))
		}
		sort.Strings(parts)
		return strings.Join(parts, ", ")
	case []any:
		parts := make([]string, len(v))
		for i := range v {
			parts[i] = inWords(v[i])
		}
		return strings.Join(parts, "; ")
	default:
		return fmt.Sprint(v)
	}
}
