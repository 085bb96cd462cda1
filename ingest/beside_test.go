package ingest_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
)

// TestTheOtherFilesOfADayShowTheDecimalMark reads a log whose every number could be
// read two ways beside a dwell record that may show which is meant.
func TestTheOtherFilesOfADayShowTheDecimalMark(t *testing.T) {
	const (
		log    = "Zeit;Frequenz (MHz);Feldstärke (mV/m)\n2026-11-18 09:00:00;30;207.125\n2026-11-18 09:00:01;30;208.500\n"
		points = "Frequenz (MHz);Beginn;Ende\n30.25;2026-11-18 09:00:00;2026-11-18 09:00:02\n"
		commas = "Frequenz (MHz);Beginn;Ende\n30,25;2026-11-18 09:00:00;2026-11-18 09:00:02\n"
	)
	for _, test := range []struct {
		name, dwell string
		want        float64 // V/m; 0 where it is asked
	}{
		{"points", points, 0.207125},
		{"commas", commas, 207.125},
		{"nothing", "Frequenz (MHz);Beginn;Ende\n30;2026-11-18 09:00:00;2026-11-18 09:00:02\n", 0},
		{"another language", "Frequency (MHz);Start;End\n30.25;2026-11-18 09:00:00;2026-11-18 09:00:02\n", 0},
		{"another delimiter", "Frequenz (MHz)\tBeginn\tEnde\n30.25\t2026-11-18 09:00:00\t2026-11-18 09:00:02\n", 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			for name, text := range map[string]string{"job.toml": sheetFor + "file = \"log.csv\"\n", "log.csv": log, "dwell.csv": test.dwell} {
				require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600))
			}
			folder, err := ingest.Open(dir)
			require.NoError(t, err)
			defer folder.Close()
			day, err := folder.Read(0)
			if test.want == 0 {
				require.ErrorContains(t, err, "no row of the file shows whether this number has a decimal mark")
				return
			}
			require.NoError(t, err)
			assert.InDelta(t, test.want, float64(day.Runs[0].Probes[0].Log.Readings[0]), 1e-9)
		})
	}
}
