// Package document reads TOML files strictly: every key knows its line, every
// problem of a file is reported in one go, and a key that nobody asked for is a
// problem with the nearest known key beside it.
package document

import (
	"bytes"
	"errors"
	"fmt"
	"sort"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
	"golang.org/x/text/encoding/unicode"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// Document is a parsed TOML file and the problems found in it so far.
type Document struct {
	File     string
	Messages place.Messages
	lines    map[string]int
	starts   []int // where each line begins, in bytes
	root     map[string]any
}

// Limits on what a sheet may hold, so that a slip of the pen or a hostile file is
// told at once. They are far above what any test needs.
const (
	mostTables  = 10_000 // of one list of tables
	mostKeys    = 2_000  // of one table
	mostNested  = 32     // tables and lists within each other
	mostUnknown = 100    // unknown keys of one table that are told one by one
)

// Parse reads a TOML file. A syntax error ends the reading and is returned with
// its line; everything else is collected by the tables.
func Parse(data []byte, file string) (*Document, error) {
	data, err := plainText(data)
	if err != nil {
		return nil, place.NewError(place.Place{File: file}, wording.Say("document.no-text", wording.Values{"error": err}))
	}
	d := &Document{File: file, lines: map[string]int{}, root: map[string]any{}, starts: []int{0}}
	for i, b := range data {
		if b == '\n' {
			d.starts = append(d.starts, i+1)
		}
	}
	if err := d.countKeys(data); err != nil {
		return nil, err
	}
	if err := toml.Unmarshal(data, &d.root); err != nil {
		return nil, syntaxError(file, err)
	}
	d.locate(data)
	return d, nil
}

// countKeys refuses a table with more keys than any has, before the time that it
// takes to read them grows with their square. What is no TOML is told by the
// reading itself.
func (d *Document) countKeys(data []byte) error {
	var parser unstable.Parser
	parser.Reset(data)
	keys := 0
	for parser.NextExpression() {
		node := parser.Expression()
		if node.Kind != unstable.KeyValue {
			keys = 0
			continue
		}
		keys++
		if inside := keysInside(node.Value(), mostNested); keys > mostKeys || inside > mostKeys {
			_, line := d.keyPath(node)
			return place.NewError(place.Place{File: d.File, Row: line}, wording.Say("document.too-many-keys", wording.Values{"most": mostKeys}))
		}
	}
	return nil
}

// keysInside counts the keys of an inline table, and of those in it, down to so
// many levels.
func keysInside(value *unstable.Node, levels int) int {
	n := 0
	if levels == 0 {
		return mostKeys + 1
	}
	if value.Kind == unstable.InlineTable || value.Kind == unstable.Array {
		for children := value.Children(); children.Next(); {
			child := children.Node()
			if child.Kind == unstable.KeyValue {
				n++
				child = child.Value()
			}
			n += keysInside(child, levels-1)
		}
	}
	return n
}

// plainText takes the byte-order mark off, with which some editors begin a file,
// and decodes UTF-16, which others write.
func plainText(data []byte) ([]byte, error) {
	switch {
	case bytes.HasPrefix(data, []byte("\xEF\xBB\xBF")):
		return data[3:], nil
	case bytes.HasPrefix(data, []byte{0xFF, 0xFE}), bytes.HasPrefix(data, []byte{0xFE, 0xFF}):
		return unicode.UTF16(unicode.LittleEndian, unicode.UseBOM).NewDecoder().Bytes(data)
	}
	return data, nil
}

// lineAt is the line in which a byte stands.
func (d *Document) lineAt(offset int) int {
	return sort.Search(len(d.starts), func(i int) bool { return d.starts[i] > offset })
}

func syntaxError(file string, err error) error {
	where := place.Place{File: file}
	var decode *toml.DecodeError
	if errors.As(err, &decode) {
		where.Row, _ = decode.Position()
		where.Key = strings.Join(decode.Key(), ".")
	}
	return place.NewError(where, wording.Say("document.syntax", wording.Values{"error": strings.TrimPrefix(err.Error(), "toml: ")}))
}

// locate notes the line of every key, by its path: "run[2].dwell.file".
func (d *Document) locate(data []byte) {
	var parser unstable.Parser
	parser.Reset(data)
	prefix, counts := "", map[string]int{}
	for parser.NextExpression() {
		node := parser.Expression()
		path, line := d.keyPath(node)
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
			d.locateValue(node, join(prefix, strings.Join(path, ".")), line)
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

func (d *Document) keyPath(node *unstable.Node) (path []string, line int) {
	for keys := node.Key(); keys.Next(); {
		key := keys.Node()
		path = append(path, string(key.Data))
		if line == 0 {
			line = d.lineAt(int(key.Raw.Offset))
		}
	}
	return path, line
}

func (d *Document) locateValue(node *unstable.Node, path string, line int) {
	d.lines[path] = line
	d.locateInside(node.Value(), path, line)
}

func (d *Document) locateInside(value *unstable.Node, path string, line int) {
	switch value.Kind {
	case unstable.InlineTable:
		for children := value.Children(); children.Next(); {
			child := children.Node()
			keys, at := d.keyPath(child)
			d.locateValue(child, join(path, strings.Join(keys, ".")), at)
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
			d.locateInside(children.Node(), item, line)
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
func (t *Table) Fail(key string, text wording.Text) {
	t.doc.Messages.Add(place.Message{Place: t.PlaceOf(key), Text: text})
}

// FailMissing adds a problem at a key that is needed and not written.
func (t *Table) FailMissing(key string, text wording.Text) {
	t.doc.Messages.Add(place.Message{Place: t.PlaceOf(key), Missing: true, Text: text})
}

// Require adds a problem for each key that is not written.
func (t *Table) Require(keys ...string) {
	for _, key := range keys {
		if !t.Has(key) {
			t.FailMissing(key, wording.Say("document.missing-key", wording.Values{"key": key}))
		}
	}
}

// Close reports every key that no method has read.
func (t *Table) Close() {
	unknown := 0
	for _, key := range t.Keys() {
		known := false
		for _, k := range t.known {
			known = known || k == key
		}
		if known {
			continue
		}
		if unknown++; unknown > mostUnknown {
			continue
		}
		t.Fail(key, wording.Say("document.unknown-key", wording.Values{"key": key, "known": t.known, "near": place.Nearest(key, t.known)}))
	}
	if more := unknown - mostUnknown; more > 0 {
		t.doc.Messages.Add(place.Message{Place: t.Place(), Text: wording.Say("document.more-unknown-keys", wording.Values{"count": more})})
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
		t.wrongType(key, v, wording.Say("document.a-table", wording.Values{"path": sub.path}))
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
	if len(list) > mostTables {
		t.Fail(key, wording.Say("document.too-many-entries", wording.Values{"count": len(list), "most": mostTables}))
		list = list[:mostTables]
	}
	var tables []*Table
	for i, item := range list {
		path := fmt.Sprintf("%s[%d]", join(t.path, key), i+1)
		values, isTable := item.(map[string]any)
		isList = isList && isTable
		tables = append(tables, &Table{doc: t.doc, path: path, values: values})
	}
	if !isList {
		t.wrongType(key, v, wording.Say("document.a-list-of-tables", wording.Values{"path": join(t.path, key)}))
		return nil
	}
	return tables
}

func (t *Table) wrongType(key string, found any, expected wording.Text) {
	t.Fail(key, wording.Say("document.wrong-type", wording.Values{"found": Describe(found), "expected": expected}))
}

// Describe says what a TOML value is, for messages.
func Describe(v any) wording.Text {
	switch x := v.(type) {
	case string:
		return wording.Say("document.found-text", wording.Values{"value": x})
	case int64, float64:
		return wording.Say("document.found-number", wording.Values{"value": x})
	case bool:
		return wording.Say("document.found-value", wording.Values{"value": x})
	case []any:
		return wording.Say("document.found-list", wording.Values{"count": len(x)})
	case map[string]any:
		return wording.Say("document.found-table", nil)
	default:
		return wording.Say("document.found-time", wording.Values{"value": x})
	}
}
