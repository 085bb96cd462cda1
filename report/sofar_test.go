package report_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/place"
	"fieldheld/report"
)

// soFar evaluates what can be read of a day's folder.
func soFar(t *testing.T, dir string) (*report.Report, place.Messages, error) {
	t.Helper()
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	return report.BuildSoFar(folder, report.Program{Name: "fieldheld", Version: "test"})
}

// copyOf copies an example day.
func copyOf(t *testing.T, name string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "day")
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("../testdata/days", name, "day"))))
	return dir
}

func TestSoFarOfAWholeDayIsTheDay(t *testing.T) {
	dir := copyOf(t, "a-clean")
	r, pending, err := soFar(t, dir)
	require.NoError(t, err)
	assert.Empty(t, pending)
	assert.Equal(t, build(t, dir).State, r.State)
}

// TestSoFarLeavesOutWhatCannotBeRead takes one file of the day away, or cuts it
// off as a program leaves it that is still writing.
func TestSoFarLeavesOutWhatCannotBeRead(t *testing.T) {
	for _, c := range []struct {
		file string
		cut  bool
		runs []string
	}{
		{"probe/h1.csv", false, []string{"V1"}},
		{"dwell/v1.csv", false, []string{"H1"}},
		{"corrections/fp03.csv", false, nil}, // readings without it would be wrong
		{"power/power.xlsx", false, []string{"H1", "V1"}},
		{"power/power.xlsx", true, []string{"H1", "V1"}},
		{"equipment.xlsx", false, []string{"H1", "V1"}},
		{"equipment.xlsx", true, []string{"H1", "V1"}},
	} {
		t.Run(c.file, func(t *testing.T) {
			dir := copyOf(t, "a-clean")
			path := filepath.Join(dir, filepath.FromSlash(c.file))
			if c.cut {
				info, err := os.Stat(path)
				require.NoError(t, err)
				require.NoError(t, os.Truncate(path, info.Size()*2/3))
			} else {
				require.NoError(t, os.Remove(path))
			}
			r, pending, err := soFar(t, dir)
			require.NoError(t, err)
			require.NotEmpty(t, pending)
			assert.Contains(t, pending.Err().Error(), c.file)
			var runs []string
			for i := range r.Runs {
				runs = append(runs, r.Runs[i].ID)
			}
			assert.Equal(t, c.runs, runs)
			if c.file == "equipment.xlsx" || len(c.runs) < 2 {
				assert.Equal(t, report.NotDemonstrated, r.State, "what is missing is never a pass")
			}
		})
	}
}

func TestSoFarNeedsTheRequirement(t *testing.T) {
	dir := copyOf(t, "a-clean")
	require.NoError(t, os.Remove(filepath.Join(dir, "requirement.toml")))
	_, _, err := soFar(t, dir)
	require.ErrorContains(t, err, "requirement.toml")
}
