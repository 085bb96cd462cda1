package record_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// TestFilesOfOtherPrograms reads one small log as programs that others made write
// it (.ci/make-dialects): every file says the same five samples, half a second
// apart, whatever its shape.
func TestFilesOfOtherPrograms(t *testing.T) {
	elapsed := table.Entry{Start: time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC)}
	bare := elapsed
	bare.NoHeader = true
	bare.Numbers = map[table.Column]int{table.Time: 1, table.Field: 2}
	bare.Units = map[table.Column]string{table.Time: "s", table.Field: "V/m"}
	blanks := bare
	blanks.Delimiter = ' '
	entries := map[string]table.Entry{ // what no program could know is said
		"numpy/default.txt": blanks, "numpy/comma.csv": elapsed, "numpy/short.csv": elapsed, "octave/printed.csv": elapsed,
		"numpy/no-header.csv": bare, "octave/csvwrite.csv": bare, "octave/dlmwrite.txt": bare,
	}
	dir := filepath.Join("..", "..", "testdata", "dialects")
	files, err := filepath.Glob(filepath.Join(dir, "*", "*"))
	require.NoError(t, err)
	require.Greater(t, len(files), 35)
	want := []quantity.FieldStrength{207.125, 208.5, 1207.25, 199.875, 203}
	for _, file := range files {
		name, err := filepath.Rel(dir, file)
		require.NoError(t, err)
		name = filepath.ToSlash(name)
		t.Run(name, func(t *testing.T) {
			data, err := os.ReadFile(file)
			require.NoError(t, err)
			log, err := record.ReadProbeLog(table.Bytes(name, data), entries[name], record.Settings{Zone: time.UTC, Date: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)})
			require.NoError(t, err)
			assert.Zero(t, log.File.RowsUnread, "%v", log.File.Problems)
			assert.Equal(t, want, log.Readings)
			for i, at := range log.Times {
				assert.Equal(t, time.Duration(i)*500*time.Millisecond, at.In(time.UTC).Sub(elapsed.Start), "sample %d", i)
				assert.Zero(t, log.Faults[i])
			}
			if log.Frequencies != nil {
				assert.Equal(t, []quantity.Frequency{30e6, 30e6, 30.15e6, 30.15e6, 30.15e6}, log.Frequencies)
			}
		})
	}
}
