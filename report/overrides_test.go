package report_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
)

// changedDay builds the example day whose requirement the job sheet changes by
// the lines.
func changedDay(t *testing.T, lines string) *report.Report {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join("..", "testdata", "days", "a-clean", "day"))))
	path := filepath.Join(dir, "job.toml")
	sheet, err := os.ReadFile(path)
	require.NoError(t, err)
	const old = "max_gap = \"0.5 s\""
	require.Contains(t, string(sheet), old)
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(sheet), old, lines, 1)), 0o600))
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	r, err := report.Build(folder, report.Program{})
	require.NoError(t, err)
	return r
}

// A day that the job sheet asks less of is never said to meet the requirement
// alone, and is a draft until somebody is named who agreed.
func TestARelaxedDayIsADraftUntilItIsAgreed(t *testing.T) {
	plain := changedDay(t, "")
	assert.Equal(t, report.Demonstrated, plain.State)
	assert.NotContains(t, plain.Answer, "as changed by the job sheet")
	assert.False(t, plain.Draft(), "%q", plain.Missing)

	bare := changedDay(t, `tolerance = { low = "-30 dB" }`)
	assert.Equal(t, report.Demonstrated, bare.State)
	assert.Contains(t, bare.Answer, "met the requirement as changed by the job sheet, “")
	assert.Contains(t, bare.Answer, "lower tolerance -30 dB instead of 0 dB")
	assert.Len(t, bare.Missing, 2, "%q", bare.Missing)

	agreed := changedDay(t, `tolerance = { low = "-30 dB" }
reasons = { tolerance = "the chamber gives no more" }
agreed_by = "I. Orrevik, 2026-11-17"`)
	assert.Equal(t, bare.Answer, agreed.Answer, "an agreement changes nothing of what was shown")
	assert.False(t, agreed.Draft(), "%q", agreed.Missing)

	var document struct {
		Overrides []map[string]any `json:"overrides"`
	}
	data, err := agreed.JSON()
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &document))
	assert.Equal(t, []map[string]any{{"key": "tolerance.low", "requirement": "0 dB", "day": "-30 dB", "relaxation": true,
		"reason": "the chamber gives no more", "agreed_by": "I. Orrevik, 2026-11-17"}}, document.Overrides)
}

func TestAStricterDayIsNoDraft(t *testing.T) {
	r := changedDay(t, `tolerance = { high = "9 dB" }
min_samples = 4`)
	assert.False(t, r.Draft(), "%q", r.Missing)
	assert.Contains(t, r.Answer, "with upper tolerance 9 dB instead of 10 dB and least number of samples 4 instead of 3 as the job sheet sets it")
}
