package jobsheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/document"
	"fieldheld/ingest/table"
)

func TestColumnsOfAnEntryByWordOrNumber(t *testing.T) {
	for text, fault := range map[string]string{
		`f = { file = "a.csv", header_row = 0, columns = { time = 1, field = 2 }, units = { field = "V/m" } }`: "",
		`f = { file = "a.csv", columns = { time = "Zeit", field = 3 } }`:                                       "",
		`f = { file = "a.csv", columns = { time = "" } }`:                                                      "this names no column",
		`f = { file = "a.csv", columns = { time = 0 } }`:                                                       "columns.time",
		`f = { file = "a.csv", columns = { time = true } }`:                                                    "columns.time",
		`f = { file = "a.csv", header_row = 0 }`:                                                               "needs its columns by their numbers",
	} {
		d, err := document.Parse([]byte(text), "job.toml")
		require.NoError(t, err)
		entry := readFile(d.Root(), "f", nil)
		if fault != "" {
			require.Len(t, d.Messages, 1, text)
			assert.Contains(t, d.Messages[0].String(), fault)
			continue
		}
		require.Empty(t, d.Messages, text)
		if entry.NoHeader {
			assert.Equal(t, map[table.Column]int{table.Time: 1, table.Field: 2}, entry.Numbers)
		} else {
			assert.Equal(t, map[table.Column]int{table.Field: 3}, entry.Numbers)
			assert.Equal(t, map[table.Column]string{table.Time: "Zeit"}, entry.Columns)
		}
	}
}
