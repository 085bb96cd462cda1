package document

// IsTable reports whether the key is written as a table, without reading it.
func (t *Table) IsTable(key string) bool { _, ok := t.values[key].(map[string]any); return ok }

// IsList reports whether the key is written as a list, without reading it.
func (t *Table) IsList(key string) bool { _, ok := t.values[key].([]any); return ok }
