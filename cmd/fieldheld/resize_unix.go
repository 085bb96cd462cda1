//go:build !windows

package main

import (
	"os"
	"os/signal"
	"syscall"
)

// resizes tells when the terminal has another size; leave ends that.
func resizes() (resized <-chan os.Signal, leave func()) {
	told := make(chan os.Signal, 1)
	signal.Notify(told, syscall.SIGWINCH)
	return told, func() { signal.Stop(told) }
}
