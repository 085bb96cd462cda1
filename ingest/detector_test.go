package ingest_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
)

// The headings of a log and the job sheet agree on how its readings were taken, as
// far as both say it and it decides something.
func TestTheDetectorOfTheHeadings(t *testing.T) {
	for _, test := range []struct {
		heading, keys string
		fault         bool
	}{
		{"E-field (V/m)", `detector = "rms"`, false},
		{"E rms (V/m)", `detector = "rms"`, false},
		{"Erms (V/m)", `detector = "rms"`, false},
		{"E (V/m rms)", `detector = "rms"`, false},
		{"Feldstärke Spitzenwert (V/m)", `detector = "peak"`, false},
		{"E peak (V/m)", `detector = "rms"`, true},
		{"Erms (V/m)", `detector = "peak"`, true},
		{"E average (V/m)", `detector = "peak"`, true},
		{"E peak (V/m)", "detector = \"rms\"\nmodulation_factor = 1.41", false},
		{"E peak (V/m)", "detector = \"rms\"\nreading = \"unmodulated\"", false},
		{"E peak, rms of axes (V/m)", `detector = "rms"`, false}, // says both, and so nothing
		{"E peak (V/m)", "", false},
	} {
		dir := t.TempDir()
		for name, text := range map[string]string{
			"h1.csv":           "Time,\"" + test.heading + "\"\n2026-11-18T09:00:00Z,207.1\n",
			"dwell.csv":        "Frequency (MHz),Start,End\n30,2026-11-18T09:00:00Z,2026-11-18T09:00:05Z\n",
			"requirement.toml": "",
			"job.toml": `[report]
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
dwell = { file = "dwell.csv" }
[[run.probe]]
file = "h1.csv"
` + test.keys + "\n",
		} {
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
		}
		folder, err := ingest.Open(dir)
		require.NoError(t, err)
		_, err = folder.Read(0)
		require.NoError(t, folder.Close())
		if test.fault {
			assert.ErrorContains(t, err, "disagree", "%s, %s", test.heading, test.keys)
		} else {
			assert.NoError(t, err, "%s, %s", test.heading, test.keys)
		}
	}
}
