package evidence

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// FuzzManifest demands that a manifest which can be read is the list that it
// says, and comes out as it was written where it is sorted.
func FuzzManifest(f *testing.F) {
	f.Add(Manifest([]Entry{{"job.toml", Digest(nil)}, {"probe/h 1.csv", Digest([]byte("1"))}, {"a\\b\nc", Digest([]byte("2"))}}))
	f.Add([]byte("\\" + Digest(nil) + "  a\\nb\n"))
	f.Add([]byte("\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		entries, err := ParseManifest(data)
		if err != nil {
			return
		}
		again, err := ParseManifest(Manifest(entries))
		require.NoError(t, err)
		assert.ElementsMatch(t, entries, again)
		assert.LessOrEqual(t, len(entries), 1+bytes.Count(data, []byte("\n")))
	})
}

// FuzzLeadsOut compares with what the standard library takes for local.
func FuzzLeadsOut(f *testing.F) {
	for _, name := range []string{"a", "a/b", "..", "../a", "a/../b", "/a", "C:\\a", "a\\..\\..\\b", "0\\0\\0/../..", "", "."} {
		f.Add(name)
	}
	f.Fuzz(func(t *testing.T, name string) {
		if !leadsOut(name) {
			assert.True(t, filepath.IsLocal(filepath.FromSlash(name)), "%q", name)
		}
	})
}
