// Package document reads TOML files strictly: every key knows its line, every
// problem of a file is reported in one go, and a key that nobody asked for is a
// problem with the nearest known key beside it.
package document

import (
	"errors"
	"fmt"
	"sort"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"

	"fieldheld/ingest/place"
)

// Document is a parsed TOML file and the problems found in it so far.
type Document struct {
	File     string
	Messages place.Messages
	lines    map[string]int
	root     map[string]any
}

// Parse reads a TOML file. A syntax error ends the reading and is returned with
// its line; everything else is collected by the tables.
func Parse(data []byte, file string) (*Document, error) {
	d := &Document{File: file, lines: map[string]int{}, root: map[string]any{}}
	if err := toml.Unmarshal(data, &d.root); err != nil {
		return nil, syntaxError(file, err)
	}
	d.locate(data)
	return d, nil
}

func syntaxError(file string, err error) error {
	m := place.Message{Place: place.Place{File: file}, What: "the file is not valid TOML",
		Found: strings.TrimPrefix(err.Error(), "toml: "), Hint: "mend this line; nothing behind it was read"}
	var decode *toml.DecodeError
	if errors.As(err, &decode) {
		m.Place.Row, _ = decode.Position()
		m.Place.Key = strings.Join(decode.Key(), ".")
	}
	return &place.Error{Messages: place.Messages{m}}
}

// locate notes the line of every key, by its path: "run[2].dwell.file".
func (d *Document) locate(data []byte) {
	var parser unstable.Parser
	parser.Reset(data)
	prefix, counts := "", map[string]int{}
	for parser.NextExpression() {
		node := parser.Expression()
		path, line := keyPath(&parser, node)
		switch node.Kind {
		case unstable.Table:
			prefix = d.resolve(path, counts)
			d.lines[prefix] = line
		case unstable.ArrayTable:
			base := d.resolve(path, counts)
			counts[base]++
			prefix = fmt.Sprintf("%s[%d]", base, counts[base])
			d.lines[prefix] = line
		case unstable.KeyValue:
			d.locateValue(&parser, node, join(prefix, strings.Join(path, ".")), line)
		}
	}
}

// resolve turns a header's path into one with the numbers of the array tables
// that are open: run, probe → run[2].probe.
func (d *Document) resolve(path []string, counts map[string]int) string {
	full := ""
	for i, part := range path {
		full = join(full, part)
		if n := counts[full]; n > 0 && i < len(path)-1 {
			full = fmt.Sprintf("%s[%d]", full, n)
		}
	}
	return full
}

func keyPath(parser *unstable.Parser, node *unstable.Node) (path []string, line int) {
	for keys := node.Key(); keys.Next(); {
		key := keys.Node()
		path = append(path, string(key.Data))
		if line == 0 {
			line = parser.Shape(key.Raw).Start.Line
		}
	}
	return path, line
}

func (d *Document) locateValue(parser *unstable.Parser, node *unstable.Node, path string, line int) {
	d.lines[path] = line
	d.locateInside(parser, node.Value(), path, line)
}

func (d *Document) locateInside(parser *unstable.Parser, value *unstable.Node, path string, line int) {
	switch value.Kind {
	case unstable.InlineTable:
		for children := value.Children(); children.Next(); {
			child := children.Node()
			keys, at := keyPath(parser, child)
			d.locateValue(parser, child, join(path, strings.Join(keys, ".")), at)
		}
	case unstable.Array:
		i := 0
		for children := value.Children(); children.Next(); {
			if children.Node().Kind == unstable.Comment {
				continue
			}
			i++
			item := fmt.Sprintf("%s[%d]", path, i)
			d.lines[item] = line
			d.locateInside(parser, children.Node(), item, line)
		}
	}
}

func join(prefix, key string) string {
	if prefix == "" {
		return key
	}
	return prefix + "." + key
}

// Root returns the top table.
func (d *Document) Root() *Table { return &Table{doc: d, values: d.root} }

// Place returns where the key with this path stands; a key that is not there
// stands where its table begins.
func (d *Document) Place(path string) place.Place {
	for at := path; ; {
		if line := d.lines[at]; line > 0 {
			return place.Place{File: d.File, Row: line, Key: path}
		}
		dot := strings.LastIndexAny(at, ".[")
		if dot < 0 {
			return place.Place{File: d.File, Key: path}
		}
		at = at[:dot]
	}
}

// Table is one table of a document. Each method that reads a key marks it as
// known; Close reports the keys that nobody read.
type Table struct {
	doc    *Document
	path   string
	values map[string]any
	known  []string
}

// Place returns where the table begins.
func (t *Table) Place() place.Place { return t.doc.Place(t.path) }

// PlaceOf returns where a key of the table stands.
func (t *Table) PlaceOf(key string) place.Place { return t.doc.Place(join(t.path, key)) }

// Has reports whether the key is written.
func (t *Table) Has(key string) bool { _, ok := t.values[key]; return ok }

// Keys returns the written keys, sorted.
func (t *Table) Keys() []string {
	keys := make([]string, 0, len(t.values))
	for key := range t.values {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	return keys
}

// Fail adds a problem at a key of the table.
func (t *Table) Fail(key string, m place.Message) {
	m.Place = t.PlaceOf(key)
	t.doc.Messages.Add(m)
}

// Require adds a problem for each key that is not written.
func (t *Table) Require(keys ...string) {
	for _, key := range keys {
		if !t.Has(key) {
			t.Fail(key, place.Message{What: "this key is needed and missing", Expected: key + " = …"})
		}
	}
}

// Close reports every key that no method has read.
func (t *Table) Close() {
	for _, key := range t.Keys() {
		known := false
		for _, k := range t.known {
			known = known || k == key
		}
		if known {
			continue
		}
		m := place.Message{What: fmt.Sprintf("the key %q is not known here", key),
			Expected: "one of " + strings.Join(t.known, ", ")}
		if near := place.Nearest(key, t.known); near != "" {
			m.Hint = fmt.Sprintf("did you mean %q?", near)
		}
		t.Fail(key, m)
	}
}

// value marks the key as known and returns what is written.
func (t *Table) value(key string) (any, bool) {
	t.known = append(t.known, key)
	v, ok := t.values[key]
	return v, ok
}

// Table returns a sub-table; absent, it is an empty one.
func (t *Table) Table(key string) *Table {
	sub := &Table{doc: t.doc, path: join(t.path, key)}
	v, ok := t.value(key)
	if !ok {
		return sub
	}
	values, isTable := v.(map[string]any)
	if !isTable {
		t.wrongType(key, v, fmt.Sprintf("a table: [%s]", sub.path))
	}
	sub.values = values
	return sub
}

// Tables returns an array of tables, empty where there is none.
func (t *Table) Tables(key string) []*Table {
	v, ok := t.value(key)
	if !ok {
		return nil
	}
	list, isList := v.([]any)
	var tables []*Table
	for i, item := range list {
		path := fmt.Sprintf("%s[%d]", join(t.path, key), i+1)
		values, isTable := item.(map[string]any)
		isList = isList && isTable
		tables = append(tables, &Table{doc: t.doc, path: path, values: values})
	}
	if !isList {
		t.wrongType(key, v, fmt.Sprintf("a list of tables: [[%s]]", join(t.path, key)))
		return nil
	}
	return tables
}

func (t *Table) wrongType(key string, found any, expected string) {
	t.Fail(key, place.Message{What: "this is of the wrong type", Found: Describe(found), Expected: expected})
}

// Describe says what a TOML value is, for messages.
func Describe(v any) string {
	switch x := v.(type) {
	case string:
		return fmt.Sprintf("the text %q", x)
	case int64, float64:
		return fmt.Sprintf("the number %v", x)
	case bool:
		return fmt.Sprintf("the value %v", x)
	case []any:
		return fmt.Sprintf("a list of %d", len(x))
	case map[string]any:
		return "a table"
	default:
		return fmt.Sprintf("the date or time %v", x)
	}
}
