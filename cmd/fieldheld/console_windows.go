package main

import (
	"os"

	"golang.org/x/sys/windows"
)

// understandsEscapes reports whether a console carries out escape sequences. An
// old one has to be asked to, and one that cannot must not be sent any.
func understandsEscapes(console *os.File) bool {
	handle := windows.Handle(console.Fd())
	var mode uint32
	if err := windows.GetConsoleMode(handle, &mode); err != nil {
		return false
	}
	return windows.SetConsoleMode(handle, mode|windows.ENABLE_VIRTUAL_TERMINAL_PROCESSING) == nil
}
