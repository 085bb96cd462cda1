package regular

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOnlyRegularFilesAreOpened(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "log.csv")
	require.NoError(t, os.WriteFile(file, []byte("rows"), 0o600))
	data, err := Read(file, 4)
	require.NoError(t, err)
	assert.Equal(t, "rows", string(data))
	_, err = Read(file, 3)
	assert.ErrorContains(t, err, "larger than")

	var other *NotRegularError
	_, err = Open(dir)
	require.ErrorAs(t, err, &other)
	assert.Equal(t, "a folder", other.Kind)
	if runtime.GOOS == "linux" {
		_, err = Open("/dev/zero")
		require.ErrorAs(t, err, &other)
		assert.Equal(t, "a device", other.Kind)
	}
	root, err := os.OpenRoot(dir)
	require.NoError(t, err)
	defer root.Close()
	inside, err := OpenIn(root, "log.csv")
	require.NoError(t, err)
	inside.Close()
	_, err = OpenIn(root, "..")
	assert.Error(t, err)
}
