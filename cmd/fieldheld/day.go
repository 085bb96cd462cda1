package main

import (
	"io"
	"os"
	"runtime/debug"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"

	"fieldheld/ingest"
	"fieldheld/report"
)

// buildReport reads and evaluates the day in a folder, with a progress bar on
// stderr when that is a terminal and the work takes longer than a second.
func buildReport(dir string, stderr io.Writer) (*report.Report, *ingest.Folder, error) {
	folder, err := ingest.Open(dir)
	if err != nil {
		return nil, nil, err
	}
	size := folder.Size()
	spareMemory(size)
	finish := func() {}
	if isTerminal(stderr) {
		folder.Progress, finish = progress(size, stderr)
	}
	r, err := report.Build(folder, program())
	finish()
	if err != nil {
		folder.Close()
		return nil, nil, err
	}
	return r, folder, nil
}

// spareMemory sets how much memory may pile up, in percent of what is in use,
// before it is cleared away. The columns of a large day stay in use throughout, so
// that little headroom keeps a long campaign small; a small day is done sooner
// with more of it.
func spareMemory(size int64) {
	const large, little, much = 32 << 20, 50, 300
	if size > large {
		debug.SetGCPercent(little)
	} else {
		debug.SetGCPercent(much)
	}
}

// progress returns what to call for every piece read, and at the end.
func progress(total int64, stderr io.Writer) (read func(int64), finish func()) {
	var mutex sync.Mutex
	var bar *progressbar.ProgressBar
	var done int64
	begun := time.Now()
	read = func(n int64) {
		mutex.Lock()
		defer mutex.Unlock()
		done += n
		if bar == nil && time.Since(begun) > time.Second {
			bar = progressbar.NewOptions64(total, progressbar.OptionSetWriter(stderr), progressbar.OptionShowBytes(true),
				progressbar.OptionSetDescription("reading"), progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100*time.Millisecond))
		}
		if bar != nil {
			_ = bar.Set64(min(done, total)) // a bar that cannot be drawn is no reason to stop
		}
	}
	finish = func() {
		mutex.Lock()
		defer mutex.Unlock()
		if bar != nil {
			_ = bar.Finish()
		}
	}
	return read, finish
}

// isTerminal reports whether a stream is a terminal.
func isTerminal(stream any) bool {
	file, ok := stream.(*os.File)
	return ok && term.IsTerminal(int(file.Fd()))
}
