package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/place"
	"fieldheld/ingest/watch"
	"fieldheld/report"
)

// transcript is an output that can be read while it is written.
type transcript struct {
	mutex sync.Mutex
	text  bytes.Buffer
}

func (t *transcript) Write(p []byte) (int, error) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	return t.text.Write(p)
}

// since returns what was written behind a position, and the new position.
func (t *transcript) since(position int) (string, int) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	return t.text.String()[position:], t.text.Len()
}

// watched is a day that is being watched.
type watched struct {
	*testing.T
	dir      string
	out      transcript
	position int
	stop     context.CancelFunc
	ended    chan error
}

// watchOf begins to watch the folder, looking often enough by itself to need no
// help of the system.
func watchOf(t *testing.T, dir string, each func(*report.Report) error) *watched {
	ctx, stop := context.WithCancel(context.Background())
	w := &watched{T: t, dir: dir, stop: stop, ended: make(chan error, 1)}
	pace := watch.Pace{Quiet: 5 * time.Millisecond, AtMost: 50 * time.Millisecond, Poll: 20 * time.Millisecond}
	go func() { w.ended <- watchDay(ctx, dir, pace, clock{now: time.Now}, &w.out, each) }()
	t.Cleanup(stop)
	return w
}

// waitFor waits until a text is shown that was not there at the last wait.
func (w *watched) waitFor(text string) string {
	w.Helper()
	var seen string
	require.Eventually(w, func() bool {
		var end int
		seen, end = w.out.since(w.position)
		if !strings.Contains(seen, text) {
			return false
		}
		w.position = end
		return true
	}, time.Minute, 5*time.Millisecond, "waiting for %q", text)
	return seen
}

// end interrupts the watching and returns how it ends.
func (w *watched) end() error {
	w.Helper()
	w.stop()
	select {
	case err := <-w.ended:
		return err
	case <-time.After(time.Minute):
		w.Fatal("the watching does not end")
		return nil
	}
}

// bring copies files of an example day into the day, whole and in one go.
func (w *watched) bring(from string, names ...string) {
	w.Helper()
	for _, name := range names {
		data, err := os.ReadFile(filepath.Join(from, filepath.FromSlash(name)))
		require.NoError(w, err)
		w.put(name, data)
	}
}

func (w *watched) put(name string, data []byte) {
	w.Helper()
	path := filepath.Join(w.dir, filepath.FromSlash(name))
	require.NoError(w, os.MkdirAll(filepath.Dir(path), 0o755))
	temporary := filepath.Join(filepath.Dir(path), ".arriving.part")
	require.NoError(w, os.WriteFile(temporary, data, 0o644))
	require.NoError(w, os.Rename(temporary, path))
}

const exampleDay = "../../testdata/days/a-clean/day"

// TestWatchFollowsADay lets a day grow from nothing to its end.
func TestWatchFollowsADay(t *testing.T) {
	w := watchOf(t, t.TempDir(), nil)
	w.waitFor("there is no job sheet")
	w.put("job.toml", []byte("[report]\nnumber = \"NT"))
	w.waitFor("not valid TOML")
	w.bring(exampleDay, "job.toml")
	w.waitFor("requirement.toml")
	w.bring(exampleDay, "requirement.toml", "equipment.xlsx", "corrections/fp03.csv")
	seen := w.waitFor("Runs not begun: H1, V1")
	assert.NotContains(t, seen, "Cannot be read yet", "what was not begun is no fault")
	assert.Contains(t, seen, "NOT DEMONSTRATED SO FAR")
	assert.Contains(t, seen, "Left to run: 2")

	w.bring(exampleDay, "dwell/h1.csv", "probe/h1.csv")
	seen = w.waitFor("Cannot be read yet: 1")
	assert.Contains(t, seen, "power/power.xlsx")
	assert.Contains(t, seen, "Runs not begun: V1")
	workbook, err := os.ReadFile(filepath.Join(exampleDay, "power", "power.xlsx"))
	require.NoError(t, err)
	w.put("power/power.xlsx", workbook[:len(workbook)/2]) // half-written
	seen = w.waitFor("the workbook is cut off")
	assert.NotContains(t, seen, "probe/v1.csv")
	w.put("power/power.xlsx", workbook)
	w.bring(exampleDay, "dwell/v1.csv")
	w.waitFor("Cannot be read yet: 1")

	log, err := os.ReadFile(filepath.Join(exampleDay, "probe", "v1.csv"))
	require.NoError(t, err)
	w.put("probe/v1.csv", log[:len(log)/2+7]) // its last line cut off
	seen = w.waitFor("photos/setup.jpg is not there")
	assert.Contains(t, seen, "Waiting for the log:")
	assert.Contains(t, seen, "NOT DEMONSTRATED SO FAR", "the pictures are due when the steps are done")
	w.bring(exampleDay, "photos/setup.jpg")
	seen = w.waitFor("Waiting for the log:")
	assert.NotContains(t, seen, "Cannot be read")
	assert.NotContains(t, seen, "To repeat", "what the log does not show yet is no step to repeat")
	w.put("probe/v1.csv", log)
	w.waitFor("\nDEMONSTRATED\n")
	assert.NoError(t, w.end())
}

// TestWatchEndsAsACheckWould compares the end with that of a check.
func TestWatchEndsAsACheckWould(t *testing.T) {
	for name, c := range map[string]struct {
		day   string
		take  string // file that is taken away
		shown string
		ends  func(error) bool
	}{
		"demonstrated":     {"a-clean", "", "\nDEMONSTRATED\n", func(err error) bool { return err == nil }},
		"not demonstrated": {"d-holes", "", "\nNOT DEMONSTRATED SO FAR\n", func(err error) bool { return err == errNotDemonstrated }},
		"a file missing": {"a-clean", "power/power.xlsx", "\nNOT DEMONSTRATED SO FAR\n", func(err error) bool {
			var unreadable *place.Error
			return assert.ErrorAs(t, err, &unreadable)
		}},
		"no job sheet": {"a-clean", "job.toml", "\nCANNOT BE CHECKED YET\n", func(err error) bool { return err != nil && err != errNotDemonstrated }},
	} {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "day")
			require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("../../testdata/days", c.day, "day"))))
			if c.take != "" {
				require.NoError(t, os.Remove(filepath.Join(dir, filepath.FromSlash(c.take))))
			}
			w := watchOf(t, dir, nil)
			w.waitFor(c.shown)
			assert.True(t, c.ends(w.end()))
		})
	}
}

// TestWatchWritesTheListOnce keeps the list in the folder that is watched: each
// writing of it is a change, which must not lead to the next one for ever.
func TestWatchWritesTheListOnce(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "day")
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../testdata/days/d-holes/day")))
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	var out transcript
	list := filepath.Join(dir, "repeat.csv")
	ended := make(chan int, 1)
	go func() { ended <- runUntil(ctx, []string{"check", "--watch", dir, "--repeat", list}, nil, &out, &out) }()
	looks := func(n int) func() bool {
		return func() bool { text, _ := out.since(0); return strings.Count(text, "looked at") >= n }
	}
	require.Eventually(t, looks(1), time.Minute, 5*time.Millisecond)
	written, err := os.Stat(list)
	require.NoError(t, err)
	require.Eventually(t, looks(2), time.Minute, 5*time.Millisecond, "the list itself is a change")
	still, err := os.Stat(list)
	require.NoError(t, err)
	assert.True(t, os.SameFile(written, still), "a list that says the same is not written again")
	stop()
	assert.Equal(t, exitNotDemonstrated, <-ended)
}

func TestWatchNeedsAFolder(t *testing.T) {
	var out, faults bytes.Buffer
	assert.Equal(t, exitWrong, run([]string{"check", "--watch", filepath.Join(t.TempDir(), "none")}, nil, &out, &faults))
	assert.Empty(t, out.String())
	assert.Contains(t, faults.String(), "cannot be watched")
}
