package demoday_test

import (
	"bytes"
	"image/jpeg"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/quantity"
	"fieldheld/templates/demoday"
)

func TestDaysAreReproducible(t *testing.T) {
	makers := map[string]func() *demoday.Day{
		"demo":     demoday.Demo,
		"random 1": func() *demoday.Day { return demoday.Random(1) },
		"random 2": func() *demoday.Day { return demoday.Random(2) },
	}
	for name, makeDay := range makers {
		first, err := makeDay().Files()
		require.NoError(t, err)
		again, err := makeDay().Files()
		require.NoError(t, err)
		require.Len(t, again, len(first), name)
		for path, data := range first {
			assert.True(t, bytes.Equal(data, again[path]), "%s, %s", name, path)
		}
	}
	assert.NotEqual(t, demoday.Random(1).Runs[0].Dwell.Visits, demoday.Random(2).Runs[0].Dwell.Visits)
}

func TestJobSheetsAreRead(t *testing.T) {
	for seed := range uint64(60) {
		day := demoday.Random(seed)
		files, err := day.Files()
		require.NoError(t, err)
		sheet, err := jobsheet.Parse(files["job.toml"], "job.toml")
		require.NoError(t, err, "seed %d", seed)
		require.Len(t, sheet.Runs, len(day.Runs))
		for i, run := range day.Runs {
			assert.Equal(t, run.Sheet.ID, sheet.Runs[i].ID)
			assert.Equal(t, run.Dwell.Entry.ClockOffset, sheet.Runs[i].Dwell.ClockOffset)
			assert.Contains(t, files, sheet.Runs[i].Dwell.File)
			for _, p := range sheet.Runs[i].Probes {
				assert.Contains(t, files, p.Log.File)
			}
		}
	}
}

func TestDemoTellsItsStory(t *testing.T) {
	day := demoday.Demo()
	files, err := day.Files()
	require.NoError(t, err)
	sheet, err := jobsheet.Parse(files["job.toml"], "job.toml")
	require.NoError(t, err)
	assert.Equal(t, "Tallholm EMC Laboratory", sheet.Laboratory.Name)
	assert.Equal(t, quantity.Frequency(30e6), sheet.Requirement.From)
	assert.InDelta(t, 0.41, float64(sheet.Environment[0].Humidity), 1e-12)

	horizontal := day.Find("H1").Dwell.Visits
	assert.Equal(t, quantity.Frequency(30e6), horizontal[0].Frequency)
	changes := sheet.Tunings[0].Changes
	require.NotEmpty(t, changes)
	repeats := horizontal[len(horizontal)-len(changes):]
	for i, change := range changes {
		assert.InEpsilon(t, float64(change.Frequency), float64(repeats[i].Frequency), 1e-9, "each repeated step was changed by hand")
	}
	assert.Equal(t, quantity.Frequency(200e6), horizontal[len(horizontal)-len(changes)-1].Frequency)
	require.Len(t, sheet.Events, 1)
	assert.Less(t, float64(sheet.Events[0].Threshold), 200.0)
	require.Len(t, sheet.Deviations, 1)
	widths := map[int]bool{}
	for _, photo := range sheet.Photos {
		picture, err := jpeg.Decode(bytes.NewReader(files[photo.File]))
		require.NoError(t, err)
		widths[picture.Bounds().Dx()] = true
	}
	assert.Len(t, widths, len(sheet.Photos))
}

func TestWriteMakesTheFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	day := demoday.Random(3)
	require.NoError(t, day.Write(dir))
	files, err := day.Files()
	require.NoError(t, err)
	for path, data := range files {
		written, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(path)))
		require.NoError(t, err)
		assert.True(t, bytes.Equal(data, written), path)
	}
}
