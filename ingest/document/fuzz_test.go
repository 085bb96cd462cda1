package document

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// FuzzParse reads sheets of unknown origin: reading ends with a document whose keys
// all have a line, or with a reason.
func FuzzParse(f *testing.F) {
	for _, text := range []string{"", "a = 1\n[b]\nc = \"d\"\n[[e]]\nf = [1, 2]\n", "\xEF\xBB\xBFa = 1", "\xFF\xFEa\x00=\x001\x00", "a = {b = {c = [{d = 1}]}}", "[[a.b]]\n[a.b.c]\nd=1"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Parse(data, "job.toml")
		if err != nil {
			return
		}
		for _, key := range d.Root().Keys() {
			switch d.Root().values[key].(type) {
			case []any, map[string]any: // what stands in them has the lines
			default:
				assert.Positive(t, d.Root().PlaceOf(key).Row, "key %q", key)
			}
		}
		d.Root().Close()
		_ = d.Messages.Err()
	})
}
