package watch

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// watched is a folder that is being watched.
type watched struct {
	*testing.T
	folder  string
	changes <-chan struct{}
}

func (w *watched) write(name, text string) {
	w.Helper()
	require.NoError(w, os.WriteFile(filepath.Join(w.folder, name), []byte(text), 0o644))
}

// told waits for what has to come, however slow the machine is, and takes what
// is told of the same change again.
func (w *watched) told(what string, again func()) {
	w.Helper()
	_, open := <-w.changes
	require.True(w, open, what)
	again()
}

// day does what happens to the folder of a day, and demands after each step that
// it is told. The function waits until nothing more is told of a step.
func (w *watched) day(again func()) {
	log := filepath.Join(w.folder, "probe", "h1.csv")
	file, err := os.OpenFile(log, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(w, err)
	_, err = file.WriteString("1,200\n")
	require.NoError(w, err)
	w.told("a file that grows while it is open", again)
	require.NoError(w, file.Close())

	w.write("job.toml", "x")
	w.told("a file that appears", again)

	w.write(".new.part", "new contents")
	require.NoError(w, os.Rename(filepath.Join(w.folder, ".new.part"), filepath.Join(w.folder, "job.toml")))
	w.told("a file that is replaced in one go", again)

	require.NoError(w, os.Remove(log))
	w.told("a file that goes away", again)

	require.NoError(w, os.Mkdir(filepath.Join(w.folder, "power"), 0o755))
	w.write("power/h1.csv", "a")
	w.told("a file in a folder that is new", again)
	w.write("power/h1.csv", "a longer one")
	w.told("a file that grows in a folder that was new", again)
}

// dayFolder makes the folder of a day with one log.
func dayFolder(t *testing.T) string {
	folder := filepath.Join(t.TempDir(), "Måling день 1")
	require.NoError(t, os.MkdirAll(filepath.Join(folder, "probe"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "probe", "h1.csv"), []byte("time,field\n"), 0o644))
	return folder
}

// TestChangesAreToldByTheSystem never looks by itself. Where what a step tells
// comes late, the next step takes it for its own: a slow machine tests less here,
// and fails nothing.
func TestChangesAreToldByTheSystem(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	folder := dayFolder(t)
	changes, err := Changes(ctx, folder, Pace{Quiet: 5 * time.Millisecond, AtMost: 50 * time.Millisecond, Poll: time.Hour})
	require.NoError(t, err)
	w := &watched{t, folder, changes}
	w.day(func() {
		for {
			select {
			case <-changes:
			case <-time.After(200 * time.Millisecond):
				return
			}
		}
	})
}

// looking is the pace of the tests by a clock of their own, in which no machine is
// slow: what the watcher does between two ticks takes no time.
var looking = Pace{Quiet: 5 * time.Millisecond, AtMost: 50 * time.Millisecond, Poll: 10 * time.Millisecond}

// byLooking runs a test with a watcher that the system tells nothing.
func byLooking(t *testing.T, folder string, test func(w *watched)) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		test(&watched{t, folder, begin(ctx, folder, looking, nil)})
	})
}

func TestChangesAreToldByLooking(t *testing.T) {
	byLooking(t, dayFolder(t), func(w *watched) {
		w.day(func() {
			time.Sleep(time.Second)
			assert.Empty(w, w.changes, "each change is told once")
		})
	})
}

// TestAGrowingFileIsToldAtMostSoOften lets a log grow without a pause.
func TestAGrowingFileIsToldAtMostSoOften(t *testing.T) {
	byLooking(t, dayFolder(t), func(w *watched) {
		text := ""
		for range 100 { // 1 s
			text += "1,200\n"
			w.write("probe/h1.csv", text)
			time.Sleep(looking.Poll)
			select {
			case <-w.changes:
				assert.GreaterOrEqual(w, len(text), 6, "told of what grew")
				text = ""
			default:
				assert.Less(w, time.Duration(len(text)/6)*looking.Poll, 2*looking.AtMost, "told though it goes on growing")
			}
		}
	})
}

// TestFilesThatAreNoneOfTheDay changes files that do not matter and then one that
// does: nothing may be told before it.
func TestFilesThatAreNoneOfTheDay(t *testing.T) {
	byLooking(t, t.TempDir(), func(w *watched) {
		for _, name := range []string{"report.pdf", ".fieldheld-1.part", "~$power.xlsx", ".~lock.power.xlsx#", "job.toml~", "a.TMP"} {
			w.write(name, "x")
		}
		time.Sleep(time.Minute)
		assert.Empty(w, w.changes, "a file was told that does not matter")
		w.write("job.toml", "x")
		w.told("a file that matters", func() {})
	})
}

func TestEndOfContextClosesTheChannel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	changes, err := Changes(ctx, t.TempDir(), Usual)
	require.NoError(t, err)
	cancel()
	_, open := <-changes
	assert.False(t, open)
}

func TestFolderThatCannotBeWatched(t *testing.T) {
	_, err := Changes(context.Background(), filepath.Join(t.TempDir(), "none"), Usual)
	require.ErrorContains(t, err, "cannot be watched")
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o644))
	_, err = Changes(context.Background(), file, Usual)
	require.ErrorContains(t, err, "no folder")
}
