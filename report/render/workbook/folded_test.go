package workbook_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"fieldheld/report"
)

// lateLog is an example day whose job sheet states an offset that one log does not
// have.
func lateLog(t *testing.T) *report.Report {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "day")
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../../testdata/days/a-clean/day")))
	sheet := filepath.Join(dir, "job.toml")
	text, err := os.ReadFile(sheet)
	require.NoError(t, err)
	wrong := strings.Replace(string(text), `file = "probe/h1.csv"`, "file = \"probe/h1.csv\"\nclock_offset = \"3600 s\"", 1)
	require.NoError(t, os.WriteFile(sheet, []byte(wrong), 0o600))
	return build(t, dir)
}

// TestWhatFollowsFromAClockIsFoldedUnderIt looks for the clock in the first row and
// for all that follows from it in folded rows below, each with its number.
func TestWhatFollowsFromAClockIsFoldedUnderIt(t *testing.T) {
	r := lateLog(t)
	packed := written(t, r)
	rows := sheets(t, packed)["Findings"]
	require.Len(t, rows, len(r.Findings))
	assert.Equal(t, "clock", rows[0]["Check"])
	assert.Contains(t, rows[0]["Meaning"], "is folded below: 44 findings, all open: samples 44.")
	file, err := excelize.OpenReader(bytes.NewReader(packed))
	require.NoError(t, err)
	defer file.Close()
	props, err := file.GetSheetProps("Findings")
	require.NoError(t, err)
	require.NotNil(t, props.OutlineSummaryBelow)
	assert.False(t, *props.OutlineSummaryBelow)
	for i, row := range rows {
		level, err := file.GetRowOutlineLevel("Findings", i+2)
		require.NoError(t, err)
		visible, err := file.GetRowVisible("Findings", i+2)
		require.NoError(t, err)
		follows := row["Follows from number"] != ""
		assert.Equal(t, follows, level == 1, i)
		assert.Equal(t, follows, !visible, i)
		if follows {
			assert.Equal(t, rows[0]["Number"], row["Follows from number"])
		}
	}
}
