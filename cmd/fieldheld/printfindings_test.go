package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/templates/demoday"
)

// TestADayOfBadRowsStaysReadable: twelve thousand rows that cannot be read, one by
// one and in blocks, are told on a few pages, with all of them counted.
func TestADayOfBadRowsStaysReadable(t *testing.T) {
	for name, spoilt := range map[string]func(i int) bool{
		"every second": func(i int) bool { return i%2 == 0 },
		"in blocks":    func(i int) bool { return i%400 < 200 },
	} {
		t.Run(name, func(t *testing.T) {
			shape := *twoProbes().Shape
			shape.Sampling = demoday.Sampling{Interval: 20 * time.Millisecond}
			day := shape.Day()
			bad := 0
			for _, run := range day.Runs {
				for i := range run.Probes[0].Log.Samples {
					if bad < 12_000 && spoilt(i) {
						run.Probes[0].Log.Samples[i].Spoilt = "n/a?"
						bad++
					}
				}
			}
			require.Equal(t, 12_000, bad)
			dir := filepath.Join(t.TempDir(), "day")
			require.NoError(t, day.Write(dir))
			var out, faults bytes.Buffer
			assert.Equal(t, exitNotDemonstrated, run([]string{"check", dir}, nil, &out, &faults), faults.String())
			lines := strings.Count(out.String(), "\n")
			assert.Less(t, lines, 300, "a reader turns a few pages")
			assert.Contains(t, out.String(), "made of")
		})
	}
}
