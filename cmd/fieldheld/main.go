// Command fieldheld checks a day of radiated-susceptibility testing and writes
// the test report that proves it.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	"time"

	"fieldheld/report/wholefile"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	go endInOrder(ctx)
	code := runUntil(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}

// exitInterrupted is the exit code of a command that a signal ended, as shells
// count it for Ctrl-C.
const exitInterrupted = 130

// endInOrder ends the program after a signal: a command that goes on until it is
// stopped ends by itself, any other is cut short, but never while it gives a file
// its name.
func endInOrder(ctx context.Context) {
	const byItself = 2 * time.Second
	<-ctx.Done()
	time.Sleep(byItself)
	wholefile.Stop()
	os.Exit(exitInterrupted)
}
