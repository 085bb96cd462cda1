// Package watch tells when the files of a folder change: one grows, appears, is
// replaced or goes away. It listens to what the system reports and looks by
// itself from time to time as well, because drives in a network report nothing.
package watch

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// Pace says how soon a change is told.
type Pace struct {
	Quiet  time.Duration // how long nothing may have changed before it is told
	AtMost time.Duration // after which it is told even if files keep growing
	Poll   time.Duration // between two looks at the folder of its own accord
}

// Usual is the pace of a test: a save is told at once, a log that grows ten times
// a second about once a second.
var Usual = Pace{Quiet: 150 * time.Millisecond, AtMost: time.Second, Poll: 3 * time.Second}

// Changes returns a channel that holds a value whenever something has changed
// since the last value was taken from it. It is closed when the context ends.
// Every change after the call is told. The error is about the folder itself.
func Changes(ctx context.Context, folder string, pace Pace) (<-chan struct{}, error) {
	if info, err := os.Stat(folder); err != nil {
		return nil, fmt.Errorf("the folder cannot be watched: %w", err)
	} else if !info.IsDir() {
		return nil, fmt.Errorf("%s cannot be watched: it is no folder", folder)
	}
	system, err := fsnotify.NewWatcher()
	if err != nil {
		system = nil
	}
	return begin(ctx, folder, pace, system), nil
}

// begin begins to watch, with what the system reports or without: then the looks
// of its own accord have to do.
func begin(ctx context.Context, folder string, pace Pace, system *fsnotify.Watcher) <-chan struct{} {
	w := &watcher{folder: folder, pace: pace, system: system, told: make(chan struct{}, 1)}
	w.seen = w.look()
	go w.run(ctx)
	return w.told
}

// watcher watches one folder.
type watcher struct {
	folder string
	pace   Pace
	system *fsnotify.Watcher // nil where the system has none
	seen   map[string]state  // files at the last look
	told   chan struct{}
}

// state is what changes when a file does.
type state struct {
	size     int64
	modified time.Time
}

func (w *watcher) run(ctx context.Context) {
	defer close(w.told)
	var events chan fsnotify.Event
	var faults chan error
	if w.system != nil {
		defer w.system.Close()
		events, faults = w.system.Events, w.system.Errors
	}
	poll := time.NewTicker(w.pace.Poll)
	defer poll.Stop()
	quiet := time.NewTimer(0)
	<-quiet.C
	var since time.Time // of the first change that is not told yet; zero for none
	changed := func() {
		now := time.Now()
		if since.IsZero() {
			since = now
		}
		quiet.Reset(min(w.pace.Quiet, w.pace.AtMost-now.Sub(since)))
	}
	for {
		select {
		case <-ctx.Done():
			return
		case event, ok := <-events:
			if !ok {
				events = nil
			} else if !event.Has(fsnotify.Chmod) && matters(filepath.Base(event.Name)) {
				changed()
			}
		case _, ok := <-faults: // as a rule, that events were lost
			if !ok {
				faults = nil
			} else {
				changed()
			}
		case <-poll.C:
			if now := w.look(); !same(now, w.seen) {
				w.seen = now
				changed()
			}
		case <-quiet.C:
			since = time.Time{}
			w.seen = w.look()
			select {
			case w.told <- struct{}{}:
			default: // a value waits already
			}
		}
	}
}

// look notes the state of every file and listens to folders that are new.
func (w *watcher) look() map[string]state {
	files := map[string]state{}
	_ = filepath.WalkDir(w.folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil { // gone between listing and looking, or not readable: nothing to note
			if errors.Is(err, fs.ErrPermission) && entry != nil && entry.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if entry.IsDir() {
			if path != w.folder && !matters(entry.Name()) {
				return fs.SkipDir
			}
			if w.system != nil {
				_ = w.system.Add(path) // where that fails, looking has to do
			}
			return nil
		}
		if info, err := entry.Info(); err == nil && matters(entry.Name()) {
			files[path] = state{info.Size(), info.ModTime()}
		}
		return nil
	})
	return files
}

func same(a, b map[string]state) bool {
	if len(a) != len(b) {
		return false
	}
	for path, x := range a {
		if y, ok := b[path]; !ok || x.size != y.size || !x.modified.Equal(y.modified) {
			return false
		}
	}
	return true
}

// matters reports whether a name may be that of a file of the day. Files that
// programs keep while they write or lock another one are not, and reports are
// written, not read.
func matters(name string) bool {
	lower := strings.ToLower(name)
	for _, prefix := range []string{".", "~"} {
		if strings.HasPrefix(lower, prefix) {
			return false
		}
	}
	for _, suffix := range []string{".part", ".tmp", ".pdf", "~"} {
		if strings.HasSuffix(lower, suffix) {
			return false
		}
	}
	return true
}
