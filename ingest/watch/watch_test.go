package watch_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/watch"
)

// long is how long a test waits for what has to come: far longer than it takes,
// so that a slow machine does not fail it.
const long = 30 * time.Second

var (
	quick   = watch.Pace{Quiet: 5 * time.Millisecond, AtMost: 50 * time.Millisecond, Poll: time.Hour}
	polling = watch.Pace{Quiet: 5 * time.Millisecond, AtMost: 50 * time.Millisecond, Poll: 10 * time.Millisecond}
)

// begin watches a folder until the test ends.
func begin(t *testing.T, folder string, pace watch.Pace) <-chan struct{} {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	t.Cleanup(cancel)
	changes, err := watch.Changes(ctx, folder, pace)
	require.NoError(t, err)
	return changes
}

func mustTell(t *testing.T, changes <-chan struct{}, what string) {
	t.Helper()
	select {
	case _, open := <-changes:
		assert.True(t, open, what)
	case <-time.After(long):
		t.Fatal("not told: " + what)
	}
}

// settle takes what is still being told, so that what comes next belongs to what
// is done next.
func settle(changes <-chan struct{}) {
	for {
		select {
		case <-changes:
		case <-time.After(200 * time.Millisecond):
			return
		}
	}
}

func write(t *testing.T, path, text string) {
	t.Helper()
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
}

func TestChangesAreTold(t *testing.T) {
	for name, pace := range map[string]watch.Pace{"by the system": quick, "by looking": polling} {
		t.Run(name, func(t *testing.T) {
			folder := filepath.Join(t.TempDir(), "Måling день 1")
			require.NoError(t, os.MkdirAll(filepath.Join(folder, "probe"), 0o755))
			log := filepath.Join(folder, "probe", "h1.csv")
			write(t, log, "time,field\n")
			changes := begin(t, folder, pace)

			file, err := os.OpenFile(log, os.O_APPEND|os.O_WRONLY, 0)
			require.NoError(t, err)
			_, err = file.WriteString("1,200\n")
			require.NoError(t, err)
			mustTell(t, changes, "a file that grows while it is open")
			require.NoError(t, file.Close())

			settle(changes)
			write(t, filepath.Join(folder, "job.toml"), "x")
			mustTell(t, changes, "a file that appears")

			settle(changes)
			write(t, filepath.Join(folder, ".new.part"), "new contents")
			require.NoError(t, os.Rename(filepath.Join(folder, ".new.part"), filepath.Join(folder, "job.toml")))
			mustTell(t, changes, "a file that is replaced in one go")

			settle(changes)
			require.NoError(t, os.Remove(log))
			mustTell(t, changes, "a file that goes away")

			settle(changes)
			require.NoError(t, os.Mkdir(filepath.Join(folder, "power"), 0o755))
			write(t, filepath.Join(folder, "power", "h1.csv"), "a")
			mustTell(t, changes, "a file in a folder that is new")
			settle(changes)
			write(t, filepath.Join(folder, "power", "h1.csv"), "a longer one")
			mustTell(t, changes, "a file that grows in a folder that was new")
		})
	}
}

// TestFilesThatAreNoneOfTheDay changes files that do not matter and then one that
// does: nothing may be told before it.
func TestFilesThatAreNoneOfTheDay(t *testing.T) {
	folder := t.TempDir()
	changes := begin(t, folder, polling)
	for _, name := range []string{"report.pdf", ".fieldheld-1.part", "~$power.xlsx", ".~lock.power.xlsx#", "job.toml~", "a.TMP"} {
		write(t, filepath.Join(folder, name), "x")
	}
	select {
	case <-changes:
		t.Fatal("a file was told that does not matter")
	case <-time.After(200 * time.Millisecond): // twenty looks
	}
	write(t, filepath.Join(folder, "job.toml"), "x")
	mustTell(t, changes, "a file that matters")
}

func TestEndOfContextClosesTheChannel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	changes, err := watch.Changes(ctx, t.TempDir(), quick)
	require.NoError(t, err)
	cancel()
	select {
	case _, open := <-changes:
		assert.False(t, open)
	case <-time.After(long):
		t.Fatal("the channel is still open")
	}
}

func TestFolderThatCannotBeWatched(t *testing.T) {
	_, err := watch.Changes(context.Background(), filepath.Join(t.TempDir(), "none"), quick)
	require.ErrorContains(t, err, "cannot be watched")
	file := filepath.Join(t.TempDir(), "file")
	write(t, file, "x")
	_, err = watch.Changes(context.Background(), file, quick)
	require.ErrorContains(t, err, "no folder")
}
