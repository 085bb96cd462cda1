package record_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// A file with more than a thousand odd rows says so once, with the first of each
// reason; one with a thousand lists them.
func TestAFloodOfUnreadableRowsIsToldOnce(t *testing.T) {
	rows := func(bad int) string {
		var b strings.Builder
		b.WriteString("Time,E-field (V/m)\n2026-11-18T08:59:59Z,0.51\n")
		for i := range bad {
			if i == 7 {
				b.WriteString("yesterday,0.5\n")
				continue
			}
			fmt.Fprintf(&b, "2026-11-18T09:%02d:%02dZ,x%d\n", i/60%60, i%60, i)
		}
		return b.String()
	}
	log := readProbe(t, rows(1000), table.Entry{})
	assert.Len(t, log.File.Problems, 1000)
	log = readProbe(t, rows(1001), table.Entry{})
	require.Len(t, log.File.Problems, 1)
	assert.Equal(t, record.Remark, log.File.Problems[0].Kind)
	assert.Equal(t, 3, log.File.Problems[0].Row)
	assert.Equal(t, "1 rows cannot be read, 1000 rows have no reading and keep their time; the first of each reason: "+
		"row 3: “x0” in “E-field (V/m)” is no number; row 10: “yesterday” in “Time” is no time", log.File.Problems[0].Reason.String())
	assert.Equal(t, 1001, log.File.RowsUnread)
	assert.Equal(t, 1, log.File.RowsRead)

	dwell, err := record.ReadDwellRecord(table.Bytes("d.csv", []byte("Frequency (MHz),Start,End\n30,2026-11-18T09:00:00Z,2026-11-18T09:00:04Z\n"+
		strings.Repeat("x,2026-11-18T09:00:00Z,2026-11-18T09:00:04Z\n", 5000))), table.Entry{}, record.Settings{})
	require.NoError(t, err)
	assert.Len(t, dwell.File.Problems, 1)
	assert.Equal(t, 5000, dwell.File.RowsUnread)
}
