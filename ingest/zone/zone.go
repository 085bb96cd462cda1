// Package zone knows the time zones. It has the time-zone database inside and
// asks no other: what the machine believes of summer time, or what an environment
// variable says, must not decide the times of a report.
package zone

import (
	"archive/zip"
	"bytes"
	_ "embed" // the database
	"fmt"
	"io"
	"sync"
	"time"
)

// Version is the edition of the IANA time zone database inside. The database is in
// the public domain; zoneinfo.zip is the copy that comes with Go, lib/time.
const Version = "2025c"

//go:embed zoneinfo.zip
var packed []byte

var database = sync.OnceValues(func() (*zip.Reader, error) {
	return zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
})

// Load returns a zone by its name in the database, such as "Europe/Oslo"; "UTC" is
// one of them. The zone of the machine is none, nor is an empty name.
func Load(name string) (*time.Location, error) {
	if name == "UTC" {
		return time.UTC, nil
	}
	zones, err := database()
	if err != nil {
		return nil, fmt.Errorf("opening the time zone database: %w", err)
	}
	file, err := zones.Open(name)
	if err != nil {
		return nil, fmt.Errorf("the time zone database has no %q", name)
	}
	defer file.Close()
	data, err := io.ReadAll(file)
	if err != nil {
		return nil, fmt.Errorf("reading the zone %q: %w", name, err)
	}
	location, err := time.LoadLocationFromTZData(name, data)
	if err != nil {
		return nil, fmt.Errorf("the zone %q: %w", name, err)
	}
	return location, nil
}
