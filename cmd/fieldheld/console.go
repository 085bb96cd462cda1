package main

import (
	"io"
	"os"

	"golang.org/x/term"
)

// escapable returns the terminal behind a stream that can be cleared and written
// in bold; nil where the stream is no such terminal.
func escapable(stream io.Writer) *os.File {
	if file, ok := stream.(*os.File); ok && isTerminal(file) && understandsEscapes(file) {
		return file
	}
	return nil
}

// sizeOf returns how many letters a line of a terminal holds and how many lines it
// shows; 0 where it does not say.
func sizeOf(terminal *os.File) (width, height int) {
	width, height, err := term.GetSize(int(terminal.Fd()))
	if err != nil {
		return 0, 0
	}
	return width, height
}
