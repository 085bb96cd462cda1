package pdf

import (
	"fmt"
	"reflect"
	"sort"
	"strings"
	"unicode"

	"fieldheld/report"
	"fieldheld/templates/wording"
)

// fieldsWith names the texts of the report that hold the character, as the job
// sheet names its keys: "article.name", "photo[2].caption".
func fieldsWith(r *report.Report, c rune) []string {
	var found []string
	w := walker{visit: func(path, text string) {
		if strings.ContainsRune(clean(text), c) {
			found = append(found, path)
		}
	}}
	w.walk("", reflect.ValueOf(r.Sheet).Elem())
	if len(found) == 0 {
		w.walk("", reflect.ValueOf(r).Elem())
	}
	sort.Strings(found) // keys of a map come in any order
	return found
}

// walker visits every text of a value.
type walker struct {
	visit func(path, text string)
	depth int
}

func (w *walker) walk(path string, v reflect.Value) {
	const deepest = 12 // visits refer to each other; texts do not stand that deep
	if w.depth > deepest {
		return
	}
	w.depth++
	defer func() { w.depth-- }()
	if v.CanInterface() {
		if text, is := v.Interface().(wording.Text); is {
			w.visit(path, text.String())
			return
		}
	}
	switch v.Kind() {
	case reflect.String:
		w.visit(path, v.String())
	case reflect.Pointer:
		if !v.IsNil() {
			w.walk(path, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			w.walk(fmt.Sprintf("%s[%d]", singular(path), i+1), v.Index(i))
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			w.walk(fmt.Sprintf("%s.%v", path, key), v.MapIndex(key))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			field := v.Type().Field(i)
			if !field.IsExported() || field.Name == "Place" || field.Name == "Visit" {
				continue
			}
			name := snake(field.Name)
			if field.Anonymous {
				name = ""
			}
			w.walk(strings.TrimPrefix(strings.TrimSuffix(path+"."+name, "."), "."), v.Field(i))
		}
	}
}

// snake writes PartNumber as part_number.
func snake(name string) string {
	var b strings.Builder
	for i, c := range name {
		if unicode.IsUpper(c) && i > 0 && !unicode.IsUpper(rune(name[i-1])) {
			b.WriteByte('_')
		}
		b.WriteRune(unicode.ToLower(c))
	}
	return b.String()
}

// singular writes photos as photo; lists of the job sheet are named so.
func singular(name string) string {
	if strings.HasSuffix(name, "nnexes") || strings.HasSuffix(name, "witnesses") {
		return strings.TrimSuffix(name, "es")
	}
	if strings.HasSuffix(name, "modes") || !strings.HasSuffix(name, "s") {
		return name
	}
	return strings.TrimSuffix(name, "s")
}
