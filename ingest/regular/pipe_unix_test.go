//go:build unix

package regular

import (
	"net"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A pipe that nobody writes into must not be waited for: this test would not end.
func TestPipesAndSocketsAreNotWaitedFor(t *testing.T) {
	pipe := filepath.Join(t.TempDir(), "h1.csv")
	require.NoError(t, syscall.Mkfifo(pipe, 0o600))
	var other *NotRegularError
	_, err := Open(pipe)
	require.ErrorAs(t, err, &other)
	assert.Equal(t, "a named pipe", other.Kind)
	assert.ErrorContains(t, err, "h1.csv is a named pipe, not a file")

	socket := filepath.Join(t.TempDir(), "s")
	listener, err := net.Listen("unix", socket)
	require.NoError(t, err)
	defer listener.Close()
	_, err = Open(socket)
	assert.Error(t, err, "a socket cannot be opened")
}
