//go:build !windows

package wholefile

import (
	"os"
	"syscall"
)

// mark marks an unfinished file as in use. The mark goes with the program,
// however that ends. A file system that knows no marks leaves the file unmarked,
// and refuses to look for marks too.
func mark(part *os.File) { _ = syscall.Flock(int(part.Fd()), syscall.LOCK_EX) }

// removeIfAbandoned removes an unfinished file that no program has in use.
func removeIfAbandoned(name string) {
	part, err := os.Open(name)
	if err != nil {
		return
	}
	defer part.Close()
	if syscall.Flock(int(part.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) == nil {
		os.Remove(name)
	}
}
