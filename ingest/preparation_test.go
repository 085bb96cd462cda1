package ingest

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
)

const planSheet = `[article]
name = "winch controller"
[requirement]
profile = "any"
[[forecast]]
file = "low.csv"
delimiter = ";"
decimal = ","
columns = { field = "Wert 1", forward = "Wert 2" }
units = { field = "V/m", forward = "dBm" }
`

// prepare writes a folder of a test to come and reads it.
func prepare(t *testing.T, files map[string]string) (*Preparation, error) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	folder, err := OpenPlan(dir)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	return folder.ReadPreparation()
}

// A low-level record is read as any power file is: by the columns and units that its
// entry names, and with the corrections of its path.
func TestALowLevelRecordIsReadAsItsEntrySays(t *testing.T) {
	files := map[string]string{
		"low.csv": "Frequenz (MHz);Wert 1;Wert 2\n30,0;10,0;30,0\n40,0;20,0;33,0\n50,0;20,0;33,0\n",
		"fwd.csv": "Frequency (MHz),Factor (dB)\n29,10\n45,10\n", "probe.csv": "Frequency (MHz),Factor (dB)\n29,6.0205999\n60,6.0205999\n",
	}
	with := func(lines string) (*Preparation, error) {
		files["job.toml"] = planSheet + lines
		return prepare(t, files)
	}
	p, err := with("")
	require.NoError(t, err)
	require.Len(t, p.Forecasts[0].Record.Points, 3)
	first := p.Forecasts[0].Record.Points[0]
	assert.Equal(t, quantity.FieldStrength(10), first.Field)
	assert.InDelta(t, 1, float64(first.Forward), 1e-9, "30 dBm")
	assert.Empty(t, p.Forecasts[0].Left)

	p, err = with("forward_correction = \"fwd.csv\"\ncorrection = \"probe.csv\"\n")
	require.NoError(t, err)
	require.Len(t, p.Forecasts[0].Record.Points, 2, "nothing is extrapolated")
	first = p.Forecasts[0].Record.Points[0]
	assert.InDelta(t, 20, float64(first.Field), 1e-5)
	assert.InDelta(t, 10, float64(first.Forward), 1e-9)
	require.Len(t, p.Forecasts[0].Left, 1)
	assert.Equal(t, quantity.Frequency(50e6), p.Forecasts[0].Left[0].Frequency)
	var paths []string
	for _, file := range p.Files {
		paths = append(paths, file.Path)
	}
	assert.Equal(t, []string{"fwd.csv", "job.toml", "low.csv", "probe.csv"}, paths)

	files["fwd.csv"] = "Frequency (MHz),Factor (dB)\n100,10\n450,10\n"
	_, err = with("forward_correction = \"fwd.csv\"\n")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "job.toml, line 6, forecast[1].file: the corrections reach no point of this record")
	_, err = with("forward_correction = \"no.csv\"\n")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "forecast[1].forward_correction: no.csv is not there")
	_, err = with("colums = { field = \"a\" }\n")
	require.Error(t, err)
	assert.Contains(t, err.Error(), `the key "colums" is not known here`)
	files["job.toml"] = strings.Replace(planSheet, "columns = { field = \"Wert 1\", ", "columns = { ", 1)
	_, err = prepare(t, files)
	require.Error(t, err, "the column of the field is not guessed")
}
