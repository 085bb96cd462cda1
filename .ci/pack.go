//go:build ignore

// Command pack packs a folder of a release, or lists the digests of all archives:
//
//	pack SECONDS FOLDER FILE.zip   every entry with that time since 1970
//	pack sums FOLDER               writes FOLDER/SHA256SUMS
package main

import (
	"archive/zip"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"log"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"time"
)

func main() {
	log.SetFlags(0)
	log.SetPrefix("pack: ")
	if err := run(os.Args[1:]); err != nil {
		log.Fatal(err)
	}
}

func run(args []string) error {
	switch {
	case len(args) == 2 && args[0] == "sums":
		return sums(args[1])
	case len(args) == 3:
		seconds, err := strconv.ParseInt(args[0], 10, 64)
		if err != nil {
			return err
		}
		return pack(time.Unix(seconds, 0).UTC(), args[1], args[2])
	}
	return errors.New("usage: pack SECONDS FOLDER FILE.zip, or pack sums FOLDER")
}

// pack writes a zip archive of the files of a folder, sorted by name, under the
// folder's own name.
func pack(at time.Time, folder, file string) (err error) {
	out, err := os.Create(file)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	archive := zip.NewWriter(out)
	entries, err := os.ReadDir(folder) // sorted
	if err != nil {
		return err
	}
	for _, entry := range entries {
		if err := add(archive, at, filepath.Join(folder, entry.Name()), path.Join(filepath.Base(folder), entry.Name())); err != nil {
			return err
		}
	}
	return archive.Close()
}

func add(archive *zip.Writer, at time.Time, file, name string) error {
	header := &zip.FileHeader{Name: name, Method: zip.Deflate, Modified: at}
	header.SetMode(0o644)
	if base := path.Base(name); base == "fieldheld" || base == "fieldheld.exe" {
		header.SetMode(0o755)
	}
	to, err := archive.CreateHeader(header)
	if err != nil {
		return err
	}
	from, err := os.Open(file)
	if err != nil {
		return err
	}
	defer from.Close()
	_, err = io.Copy(to, from)
	return err
}

// sums writes the digests of the archives in a folder as sha256sum checks them.
func sums(folder string) error {
	archives, err := filepath.Glob(filepath.Join(folder, "*.zip")) // sorted
	if err != nil {
		return err
	}
	var list strings.Builder
	for _, archive := range archives {
		data, err := os.ReadFile(archive)
		if err != nil {
			return err
		}
		fmt.Fprintf(&list, "%x  %s\n", sha256.Sum256(data), filepath.Base(archive))
	}
	return os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(list.String()), 0o644)
}
