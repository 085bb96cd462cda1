//go:build unix

package regular

import "syscall"

// doNotWait lets the opening of a named pipe without a writer return at once.
const doNotWait = syscall.O_NONBLOCK
