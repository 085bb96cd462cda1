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

// linesOf returns how many lines a terminal shows; 0 where it does not say.
func linesOf(terminal *os.File) int {
	_, lines, err := term.GetSize(int(terminal.Fd()))
	if err != nil {
		return 0
	}
	return lines
}
