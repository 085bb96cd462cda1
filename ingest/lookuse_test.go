package ingest_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
)

// A plain factor of a power table is ten times its logarithm, that of a field table
// twenty times: look has to show what the job sheet makes of it.
func TestLookShowsAFactorAsWhatItCorrects(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
	}
	write("table.csv", "Frequency (MHz),Factor\n30,10\n200,10\n")
	write("job.toml", `[report]
time_zone = "UTC"
[laboratory]
name = "Tallholm EMC Laboratory"
[customer]
name = "Orrevik Hydrophone Works"
[article]
name = "WK-3"
[requirement]
file = "requirement.toml"
[[run]]
id = "H1"
polarization = "horizontal"
dwell = { file = "h1-dwell.csv" }
power = { file = "h1-power.csv", forward_correction = "table.csv" }
[[run.probe]]
file = "h1.csv"
correction = "table.csv"
`)
	write("requirement.toml", "")
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	looks, err := folder.LookAt(dir, filepath.Join(dir, "table.csv"), 0)
	require.NoError(t, err)
	require.Len(t, looks, 2, "once for each use")
	var factors []string
	for _, look := range looks {
		require.Empty(t, look.Problems)
		for _, v := range look.First[0].Values {
			if v.Quantity == "factor" || v.Quantity == "correction factor" {
				factors = append(factors, v.Text)
			}
		}
	}
	assert.Equal(t, []string{"10.00 dB", "20.00 dB"}, factors)
}
