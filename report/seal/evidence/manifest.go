// Package evidence binds a report to the files that it rests on: the manifest
// that lists them with their digests, and the files themselves as the report
// carries them.
package evidence

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"sort"
	"strings"
)

// Entry is one input file in the manifest.
type Entry struct {
	Path   string // relative to the day's folder, with forward slashes
	SHA256 string // of its bytes, 64 hexadecimal digits in lower case
}

// Digest returns the SHA-256 of the data as a manifest writes it.
func Digest(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// Manifest returns the list of files as `sha256sum` writes and checks it: one
// line a file, sorted by path, lines ending in a line feed. Whoever has the files
// can check them with that program alone.
func Manifest(entries []Entry) []byte {
	sorted := append([]Entry(nil), entries...)
	sort.Slice(sorted, func(i, j int) bool { return sorted[i].Path < sorted[j].Path })
	var b strings.Builder
	for _, e := range sorted {
		if path := escapePath(e.Path); path != e.Path {
			fmt.Fprintf(&b, "\\%s  %s\n", e.SHA256, path)
		} else {
			fmt.Fprintf(&b, "%s  %s\n", e.SHA256, e.Path)
		}
	}
	return []byte(b.String())
}

// ManifestDigest returns the SHA-256 of the manifest of the files. It is the one
// number that stands for all of them.
func ManifestDigest(entries []Entry) string { return Digest(Manifest(entries)) }

// ParseManifest reads a manifest. A line that is none is an error that names it.
func ParseManifest(manifest []byte) ([]Entry, error) {
	var entries []Entry
	for i, line := range strings.Split(strings.TrimSuffix(string(manifest), "\n"), "\n") {
		escaped := strings.HasPrefix(line, "\\")
		digest, path, found := strings.Cut(strings.TrimPrefix(line, "\\"), "  ")
		raw, err := hex.DecodeString(digest)
		if !found || err != nil || len(raw) != sha256.Size || path == "" || digest != strings.ToLower(digest) {
			return nil, fmt.Errorf("manifest, line %d: expected a SHA-256, two blanks and a path, found %q", i+1, line)
		}
		if escaped {
			path = unescapePath(path)
		}
		entries = append(entries, Entry{Path: path, SHA256: digest})
	}
	return entries, nil
}

// escapePath writes the characters that would break a line apart, as sha256sum
// does.
func escapePath(path string) string {
	return strings.NewReplacer("\\", "\\\\", "\n", "\\n", "\r", "\\r").Replace(path)
}

func unescapePath(path string) string {
	return strings.NewReplacer("\\\\", "\\", "\\n", "\n", "\\r", "\r").Replace(path)
}
