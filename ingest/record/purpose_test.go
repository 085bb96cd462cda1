package record_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

func TestPurposesOfRows(t *testing.T) {
	const rows = "30.0,2026-11-18T09:00:00Z,2026-11-18T09:00:05Z,\n30.1,2026-11-18T09:00:10Z,2026-11-18T09:00:15Z,Test\n" +
		"30.2,2026-11-18T09:00:20Z,2026-11-18T09:00:25Z, search \n30.3,2026-11-18T09:00:30Z,2026-11-18T09:00:35Z,THRESHOLD\n" +
		"30.4,2026-11-18T09:00:40Z,2026-11-18T09:00:45Z,trial\n30.5,2026-11-18T09:00:50Z,2026-11-18T09:00:55Z,aborted\n"
	want := []quantity.Purpose{"", quantity.TestStep, quantity.SearchRow, quantity.ThresholdSearch, quantity.TrialRow, quantity.AbortedRow}
	for head, entry := range map[string]table.Entry{
		"Purpose": {}, "PURPOSE": {},
		"Zweck": {Columns: map[table.Column]string{table.Purpose: "Zweck"}},
		"Why":   {Numbers: map[table.Column]int{table.Purpose: 4}},
	} {
		r, err := record.ReadDwellRecord(table.Bytes("h1.csv", []byte("Frequency (MHz),Start,End,"+head+"\n"+rows)), entry, record.Settings{Zone: time.UTC})
		require.NoError(t, err, head)
		require.Len(t, r.Visits, len(want), head)
		for i, v := range r.Visits {
			assert.Equal(t, want[i], v.Purpose, head)
			assert.Equal(t, i < 2, v.Purpose.IsStep(), head)
		}
	}
	// A column of that name that is not read says nothing, and asks nothing.
	r, err := record.ReadDwellRecord(table.Bytes("h1.csv", []byte("Frequency (MHz),Start,End,Purpose\n30.0,2026-11-18T09:00:00Z,2026-11-18T09:00:05Z,RS103\n")),
		table.Entry{Ignored: []string{"Purpose"}}, record.Settings{Zone: time.UTC})
	require.NoError(t, err)
	assert.Empty(t, r.Visits[0].Purpose)
}
