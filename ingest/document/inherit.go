package document

import "maps"

// Inherit takes every key that the table lacks from another table, which may be nil;
// where both hold a table under a key, that one inherits in turn. What is inherited
// stands, for messages, where the other table writes it.
func (t *Table) Inherit(from *Table) {
	if from == nil {
		return
	}
	t.values = t.merged(t.path, t.values, from.path, from.values)
}

func (t *Table) merged(path string, values map[string]any, fromPath string, from map[string]any) map[string]any {
	merged := maps.Clone(values)
	if merged == nil {
		merged = map[string]any{}
	}
	for key, value := range from {
		here, there := join(path, key), join(fromPath, key)
		own, has := merged[key]
		inner, isTable := own.(map[string]any)
		outer, bothTables := value.(map[string]any)
		switch {
		case !has:
			merged[key] = value
			if _, known := t.doc.lines[here]; !known {
				t.doc.lines[here] = t.doc.Place(there).Row
			}
		case isTable && bothTables:
			merged[key] = t.merged(here, inner, there, outer)
		}
	}
	return merged
}

// With is the table with one more key.
func (t *Table) With(key string, value any) *Table {
	values := maps.Clone(t.values)
	if values == nil {
		values = map[string]any{}
	}
	values[key] = value
	return &Table{doc: t.doc, path: t.path, values: values}
}

// Entry is the table under a key; a text stands for a table with that text under a
// key of its own.
func (t *Table) Entry(key, textKey string) *Table {
	if !t.IsText(key) {
		return t.Table(key)
	}
	t.Text(key)
	path := join(t.path, key)
	return &Table{doc: t.doc, path: path, values: map[string]any{textKey: t.values[key]}}
}

// Value is what stands under a key, nil where nothing does; it does not mark the key
// as known.
func (t *Table) Value(key string) any { return t.values[key] }

// Sound reports whether a function that reads finds no new problem in the document.
func (t *Table) Sound(read func()) bool {
	before := len(t.doc.Messages)
	read()
	return len(t.doc.Messages) == before
}
