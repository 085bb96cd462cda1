package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPlansKeepTo80Columns prints the plans of every example day.
func TestPlansKeepTo80Columns(t *testing.T) {
	days, err := filepath.Glob("../../testdata/days/*/day")
	require.NoError(t, err)
	require.NotEmpty(t, days)
	wide := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(wide, "job.toml"), []byte(`[article]
name = "winch controller"
width = "40 m"
[requirement]
profile = "mil-std-461g-rs103-ground-army"
include = ["18-40 GHz"]
[[equipment]]
asset = "A-VERY-LONG-ASSET-MARK-0001"
role = "signal generator"
calibration = "not required"
calibration_reason = "its level is not used: the field probe shows what it gives, at each step and at all times"
`), 0o644))
	for _, dir := range append(days, wide) {
		var out, faults bytes.Buffer
		require.Equal(t, exitDone, run([]string{"plan", dir}, nil, &out, &faults), faults.String())
		text, _, _ := strings.Cut(out.String(), "\n  fieldheld plan ") // the last line names a path
		for line := range strings.Lines(text) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimRight(line, "\n")), columns, line)
		}
	}
}

func TestTextsThatBeginLikeFormulasAreHarmless(t *testing.T) {
	for text, want := range map[string]string{
		"AN-07": "AN-07", "": "", "7": "7", "=1+1": "'=1+1", "+49": "'+49", "-1": "'-1", "@x": "'@x", " =1": "' =1", "\t=1": "'\t=1", "'=1": "'=1",
	} {
		assert.Equal(t, want, harmless(text), "%q", text)
	}
}
