package newday

import (
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"
)

// block is one table of a job sheet with the values of its keys as TOML.
type block struct {
	section string // name in the form
	values  []value
}

// value is one key, dotted as far as tables are nested in the block.
type value struct{ key, toml string }

// get returns the TOML of a key.
func (b *block) get(key string) (string, bool) {
	for _, v := range b.values {
		if v.key == key {
			return v.toml, true
		}
	}
	return "", false
}

// set writes a key; "" leaves it as it is.
func (b *block) set(key, toml string) {
	if toml == "" {
		return
	}
	for i := range b.values {
		if b.values[i].key == key {
			b.values[i].toml = toml
			return
		}
	}
	b.values = append(b.values, value{key, toml})
}

// blocks are the tables of a job sheet in their order.
type blocks []*block

// of returns the last block of a section, made where there is none.
func (bs *blocks) of(section string) *block {
	for i := len(*bs) - 1; i >= 0; i-- {
		if (*bs)[i].section == section {
			return (*bs)[i]
		}
	}
	return bs.add(section)
}

func (bs *blocks) add(section string) *block {
	b := &block{section: section}
	*bs = append(*bs, b)
	return b
}

// sheetReader takes a job sheet apart. The sheet has been read without problems
// before, so that nothing in it is of a wrong kind.
type sheetReader struct {
	form    []section
	blocks  blocks
	unknown []string // names of tables that the form lacks
}

func (r *sheetReader) read(data []byte) {
	var parser unstable.Parser
	parser.Reset(data)
	var header []string
	for parser.NextExpression() {
		node := parser.Expression()
		switch path := keyOf(node); node.Kind {
		case unstable.Table:
			header = path
		case unstable.ArrayTable:
			header = path
			if s, rest := find(r.form, path); s != nil && len(rest) == 0 {
				r.blocks.add(s.name)
			}
		case unstable.KeyValue:
			r.take(append(header[:len(header):len(header)], path...), node.Value())
		}
	}
}

// keyOf returns the parts of a key, each as TOML writes it.
func keyOf(node *unstable.Node) []string {
	var path []string
	for parts := node.Key(); parts.Next(); {
		path = append(path, bare(string(parts.Node().Data)))
	}
	return path
}

// take notes a value; tables inside it are laid out as dotted keys.
func (r *sheetReader) take(path []string, node *unstable.Node) {
	s, rest := find(r.form, path)
	switch {
	case node.Kind == unstable.InlineTable:
		for children := node.Children(); children.Next(); {
			child := children.Node()
			r.take(append(path[:len(path):len(path)], keyOf(child)...), child.Value())
		}
	case s == nil:
		if len(r.unknown) == 0 || r.unknown[len(r.unknown)-1] != path[0] {
			r.unknown = append(r.unknown, path[0])
		}
	case s.list && len(rest) == 0 && node.Kind == unstable.Array:
		for items := node.Children(); items.Next(); {
			r.blocks.add(s.name)
			r.take(path, items.Node())
		}
	default:
		if len(rest) == 0 {
			rest = []string{"file"} // register = "equipment.xlsx"
		}
		r.blocks.of(s.name).set(strings.Join(rest, "."), tomlOf(node))
	}
}

// tomlOf writes a value.
func tomlOf(node *unstable.Node) string {
	switch node.Kind {
	case unstable.String:
		return quote(string(node.Data))
	case unstable.Array:
		var items []string
		for children := node.Children(); children.Next(); {
			if child := children.Node(); child.Kind != unstable.Comment {
				items = append(items, tomlOf(child))
			}
		}
		return "[" + strings.Join(items, ", ") + "]"
	case unstable.InlineTable:
		var items []string
		for children := node.Children(); children.Next(); {
			child := children.Node()
			items = append(items, strings.Join(keyOf(child), ".")+" = "+tomlOf(child.Value()))
		}
		return "{ " + strings.Join(items, ", ") + " }"
	default:
		return string(node.Data)
	}
}

// bare writes one part of a key, in quotation marks where it needs them.
func bare(part string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' || r == '-'
	}
	if part == "" || strings.ContainsFunc(part, func(r rune) bool { return !plain(r) }) {
		return quote(part)
	}
	return part
}

// quote writes a text as TOML; "" for none.
func quote(text string) string {
	escaped := strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`, "\t", `\t`, "\r", `\r`).Replace(text)
	return `"` + escaped + `"`
}
