package ingest

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestADayInMemoryIsTheDayOnDisk(t *testing.T) {
	const dir = "../testdata/days/a-clean/day"
	files := map[string][]byte{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		require.NoError(t, err)
		files[filepath.ToSlash(name)], err = os.ReadFile(path)
		return err
	}))
	onDisk, err := Open(dir)
	require.NoError(t, err)
	defer onDisk.Close()
	held, err := OpenFiles(files)
	require.NoError(t, err)
	defer held.Close()
	want, err := onDisk.Read(0)
	require.NoError(t, err)
	got, err := held.Read(0)
	require.NoError(t, err)
	assert.Equal(t, want.Files, got.Files)

	delete(files, "probe/h1.csv")
	assert.Len(t, held.Absent(), 1)
	_, err = OpenFiles(nil)
	assert.ErrorContains(t, err, "there is no job sheet in the evidence")
	one, err := inMemory{"a/b": nil, "a/./b": nil}.Stat("a/./b")
	require.NoError(t, err)
	other, err := inMemory{"a/b": nil}.Stat("a/b")
	require.NoError(t, err)
	assert.True(t, inMemory{}.Same(one, other), "two spellings are one file")
}
