// Package templates holds the texts and data that are built into the program:
// the requirements that it knows by name, and the rules by which it evaluates.
//
// A new built-in requirement is one more TOML file in requirements/; its name is
// the file's name.
package templates

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"strings"
)

//go:embed requirements/*.toml
var requirements embed.FS

//go:embed rules/rules.md
var rules string

// Requirements returns the built-in requirements, one file "NAME.toml" each.
func Requirements() fs.FS {
	files, err := fs.Sub(requirements, "requirements")
	if err != nil {
		panic("the embedded folder has another name: " + err.Error())
	}
	return files
}

// Rules returns the evaluation rules as a text for a terminal of 80 columns,
// the version that the text states, and the SHA-256 of the text in hexadecimal.
func Rules() (text, version, digest string) {
	sum := sha256.Sum256([]byte(rules))
	return rules, statedVersion(rules), hex.EncodeToString(sum[:])
}

// statedVersion finds the line "Version X.Y, …" of the rules.
func statedVersion(text string) string {
	for line := range strings.Lines(text) {
		if rest, found := strings.CutPrefix(line, "Version "); found {
			version, _, _ := strings.Cut(rest, ",")
			return strings.TrimSpace(version)
		}
	}
	return ""
}
