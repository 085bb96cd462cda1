package document

import (
	"fmt"
	"reflect"
	"sort"

	"fieldheld/ingest/place"
	"fieldheld/templates/wording"
)

// Difference is a key that two documents write differently.
type Difference struct {
	Key          string       // path, such as "article.serial"
	Mine, Theirs wording.Text // what each writes; Theirs says nothing where the key is not there
	At, Other    place.Place
}

// Differences lists the keys below a key of the top that this document writes
// and the other does not write in the same way, in the order of their names.
// Keys that only the other writes are no difference.
func (d *Document) Differences(key string, other *Document) []Difference {
	mine, written := d.root[key]
	if !written {
		return nil
	}
	c := &comparison{mine: d, other: other}
	theirs, there := other.root[key]
	c.compare(key, mine, theirs, there)
	return c.found
}

type comparison struct {
	mine, other *Document
	found       []Difference
}

func (c *comparison) compare(path string, mine, theirs any, there bool) {
	switch x := mine.(type) {
	case map[string]any:
		if y, isTable := theirs.(map[string]any); isTable || !there {
			c.compareTables(path, x, y)
			return
		}
	case []any:
		if y, isList := theirs.([]any); isList && len(x) == len(y) {
			for i := range x {
				c.compare(fmt.Sprintf("%s[%d]", path, i+1), x[i], y[i], true)
			}
			return
		}
	}
	if !there || !reflect.DeepEqual(mine, theirs) {
		d := Difference{Key: path, Mine: Describe(mine), At: c.mine.Place(path), Other: c.other.Place(path)}
		if there {
			d.Theirs = Describe(theirs)
		}
		c.found = append(c.found, d)
	}
}

func (c *comparison) compareTables(path string, mine, theirs map[string]any) {
	keys := make([]string, 0, len(mine))
	for key := range mine {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	for _, key := range keys {
		value, there := theirs[key]
		c.compare(join(path, key), mine[key], value, there)
	}
}
