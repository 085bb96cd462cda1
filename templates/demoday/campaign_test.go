package demoday_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/templates/demoday"
)

func TestCampaignHasItsRowsAndSteps(t *testing.T) {
	dir := t.TempDir()
	c := demoday.Campaign{Seed: 1, Positions: 1, ReadingsPerSecond: 2}
	require.NoError(t, c.Write(dir))
	data, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	require.NoError(t, err)
	sheet, err := jobsheet.Parse(data, "job.toml")
	require.NoError(t, err)
	require.Len(t, sheet.Runs, 2)
	rows := 0
	for _, run := range sheet.Runs {
		dwell, err := os.ReadFile(filepath.Join(dir, run.Dwell.File))
		require.NoError(t, err)
		assert.Equal(t, 1863+1, bytes.Count(dwell, []byte("\n")), "steps and a header")
		log, err := os.ReadFile(filepath.Join(dir, run.Probes[0].Log.File))
		require.NoError(t, err)
		rows += bytes.Count(log, []byte("\n"))
		assert.FileExists(t, filepath.Join(dir, run.Power.File))
	}
	assert.InEpsilon(t, c.Rows(), rows, 0.3)
}
