// Package zone has the time zones of the world. They are those of the database
// that is built in, never of the machine or of its environment: another database
// could move a day's times, and with them its verdict.
package zone

import (
	"archive/zip"
	"bytes"
	_ "embed" // the database
	"errors"
	"fmt"
	"io"
	"time"
)

// The database is lib/time/zoneinfo.zip of the Go distribution. To renew it, copy
// that file here and take Version from update.bash beside it; a test compares.
//
//go:embed zoneinfo.zip
var database []byte

// Version is the edition of the database.
const Version = "2025c"

// largest is more than the rules of any zone, in bytes.
const largest = 1 << 16

// Load returns the zone with a name of the database, such as "Europe/Oslo" or
// "UTC". The zone of the machine has no name here.
func Load(name string) (*time.Location, error) {
	if name == "UTC" {
		return time.UTC, nil
	}
	all, err := zip.NewReader(bytes.NewReader(database), int64(len(database)))
	if err != nil {
		return nil, fmt.Errorf("open the time zone database: %w", err)
	}
	for _, entry := range all.File {
		if entry.Name == name && !entry.FileInfo().IsDir() {
			return load(entry)
		}
	}
	return nil, errors.New("there is no time zone " + name)
}

func load(entry *zip.File) (*time.Location, error) {
	stream, err := entry.Open()
	if err != nil {
		return nil, fmt.Errorf("open the time zone %s: %w", entry.Name, err)
	}
	defer stream.Close()
	rules, err := io.ReadAll(io.LimitReader(stream, largest))
	if err != nil {
		return nil, fmt.Errorf("read the time zone %s: %w", entry.Name, err)
	}
	return time.LoadLocationFromTZData(entry.Name, rules)
}
