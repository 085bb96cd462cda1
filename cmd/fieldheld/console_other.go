//go:build !windows

package main

import "os"

// understandsEscapes reports whether a terminal carries out escape sequences.
func understandsEscapes(*os.File) bool { return os.Getenv("TERM") != "dumb" }
