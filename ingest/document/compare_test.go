package document

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDifferences compares two documents below one key: only what the first
// writes otherwise counts.
func TestDifferences(t *testing.T) {
	for _, test := range []struct {
		name, mine, theirs string
		keys               []string
		said               string // of the first difference, by the other
		row, other         int
	}{
		{"alike", "[a]\nx = 1\ny = [\"p\"]", "[a]\ny = [\"p\"]\nx = 1", nil, "", 0, 0},
		{"less", "[a]\nx = 1", "[a]\nx = 1\ny = 2", nil, "", 0, 0},
		{"nothing", "b = 1", "[a]\nx = 1", nil, "", 0, 0},
		{"another value", "[a]\nx = 1", "\n[a]\nx = 2", []string{"a.x"}, "the number 2", 2, 3},
		{"another type", "[a]\nx = 1", "[a]\nx = \"1\"", []string{"a.x"}, `the text "1"`, 2, 2},
		{"more", "[a]\nx = 1\ny = 2", "[a]\nx = 1", []string{"a.y"}, "", 3, 1},
		{"no such table", "[a]\nx = 1", "b = 1", []string{"a.x"}, "", 2, 0},
		{"deeper", "[a]\nt = { u = 1, v = 2 }", "[a]\nt = { u = 1, v = 3 }", []string{"a.t.v"}, "the number 3", 2, 2},
		{"a list in another order", "[a]\ny = [1, 2]", "[a]\ny = [2, 1]", []string{"a.y[1]", "a.y[2]"}, "the number 2", 2, 2},
		{"a longer list", "[a]\ny = [1, 2]", "[a]\ny = [1]", []string{"a.y"}, "a list of 1", 2, 2},
		{"a list of tables", "[[a.c]]\nn = 1\n[[a.c]]\nn = 2", "[[a.c]]\nn = 1\n[[a.c]]\nn = 3", []string{"a.c[2].n"}, "the number 3", 4, 4},
		{"a date", "[a]\nd = 2026-11-18", "[a]\nd = 2026-11-19", []string{"a.d"}, "the date or time 2026-11-19", 2, 2},
	} {
		t.Run(test.name, func(t *testing.T) {
			mine, err := Parse([]byte(test.mine), "mine.toml")
			require.NoError(t, err)
			theirs, err := Parse([]byte(test.theirs), "theirs.toml")
			require.NoError(t, err)
			var keys []string
			found := mine.Differences("a", theirs)
			for _, d := range found {
				keys = append(keys, d.Key)
				assert.NotEmpty(t, d.Mine.String())
			}
			assert.Equal(t, test.keys, keys)
			if len(found) > 0 {
				assert.Equal(t, test.said, found[0].Theirs.String())
				assert.Equal(t, test.row, found[0].At.Row)
				assert.Equal(t, test.other, found[0].Other.Row)
			}
		})
	}
}
