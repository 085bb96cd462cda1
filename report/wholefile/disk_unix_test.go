//go:build !windows

package wholefile

import (
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDiskThatTakesNoMore lets the helper process write less than a version: the
// system refuses the rest, as a full disk does.
func TestDiskThatTakesNoMore(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "report.pdf")
	require.NoError(t, Save(File{path, writes([]byte("old"))}))
	helper := exec.Command("sh", "-c", `trap '' XFSZ; ulimit -f 2000; exec "$0"`, os.Args[0])
	helper.Env = append(os.Environ(), "WHOLEFILE_TARGET="+path)
	out, err := helper.CombinedOutput()
	assert.Error(t, err, "the helper ends with the message")
	assert.Contains(t, string(out), "report.pdf: the file cannot be written\n    found:    ")
	assert.Contains(t, string(out), "the file that was there is unchanged")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "old", string(data))
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 1)
}

// TestFolderThatMayNotBeWritten runs the helper as a person without rights,
// where the tests run with all of them.
func TestFolderThatMayNotBeWritten(t *testing.T) {
	base, err := os.MkdirTemp("", "fieldheld-test-")
	require.NoError(t, err)
	defer os.RemoveAll(base)
	require.NoError(t, os.Chmod(base, 0o755))
	program := filepath.Join(base, "helper")
	data, err := os.ReadFile(os.Args[0])
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(program, data, 0o755))
	dir := filepath.Join(base, "day")
	require.NoError(t, os.Mkdir(dir, 0o755))
	path := filepath.Join(dir, "report.pdf")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o644))
	require.NoError(t, os.Chmod(dir, 0o555))
	defer os.Chmod(dir, 0o755)

	helper := exec.Command(program)
	helper.Dir = base
	helper.Env = append(os.Environ(), "WHOLEFILE_TARGET="+path)
	if os.Geteuid() == 0 {
		const nobody = 65534
		helper.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}
	}
	out, err := helper.CombinedOutput()
	assert.Error(t, err, "the helper ends with the message")
	assert.Contains(t, string(out), "no file can be written into this folder")
	assert.Contains(t, string(out), "permission denied")
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "old", string(got))
}
