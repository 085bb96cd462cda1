package notation

import (
	"archive/zip"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/zone"
)

// TestAbbreviationsOfZonesHaveOneMeaning walks the time zone database (IANA, the
// edition of package zone): an abbreviation that is understood stands for one
// distance from UTC in all zones of the database from 2015 to 2037.
func TestAbbreviationsOfZonesHaveOneMeaning(t *testing.T) {
	meanings := map[string]map[int]bool{}
	all, err := zip.OpenReader("../zone/zoneinfo.zip")
	require.NoError(t, err)
	defer all.Close()
	for _, entry := range all.File {
		if entry.FileInfo().IsDir() {
			continue
		}
		place, err := zone.Load(entry.Name)
		require.NoError(t, err)
		for at := time.Date(2015, 1, 15, 0, 0, 0, 0, time.UTC); at.Year() < 2038; at = at.AddDate(0, 1, 0) {
			name, offset := at.In(place).Zone()
			if meanings[name] == nil {
				meanings[name] = map[int]bool{}
			}
			meanings[name][offset] = true
		}
	}
	require.Greater(t, len(meanings), 50)
	known := 0
	for name, offset := range zoneAbbreviations {
		if meanings[name] == nil {
			continue // MEZ and MESZ, which are no names of the database
		}
		known++
		assert.Equal(t, map[int]bool{int(offset * 3600): true}, meanings[name], name)
	}
	assert.GreaterOrEqual(t, known, 30)
}
