package record_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// TestWhatTheSheetLeavesOutIsNoted answers the question about a column with marks in
// both ways, and leaves out columns that do mark readings: it is never silent.
func TestWhatTheSheetLeavesOutIsNoted(t *testing.T) {
	const unknown = "Time,E-field (V/m),Weather note\n2026-11-18T09:00:00Z,207.1,fine\n2026-11-18T09:00:01Z,207.2,OVERLOAD\n2026-11-18T09:00:02Z,207.3,fine\n"
	const known = "Time,E-field (V/m),Status,Valid\n2026-11-18T09:00:00Z,207.1,OK,1\n2026-11-18T09:00:01Z,207.2,OVL,0\n2026-11-18T09:00:02Z,207.3,OK,1\n"
	const another = "Time,E-field (V/m),Status\n2026-11-18T09:00:00Z,207.1,REMOTE\n2026-11-18T09:00:01Z,207.2,REMOTE\n2026-11-18T09:00:02Z,207.3,REMOTE\n"
	for _, test := range []struct {
		name, log string
		entry     table.Entry
		invalid   int    // samples
		remark    string // "" for none
		asks      string // "" for nothing
	}{
		{"asked", unknown, table.Entry{}, 0, "", "a column that is not read holds a mark of overload"},
		{"asked, without a heading", "Time,E-field (V/m),\n2026-11-18T09:00:00Z,207.1,fine\n2026-11-18T09:00:01Z,207.2,OVL\n", table.Entry{}, 0, "", "add columns = { status = 3 }"},
		{"its number", "Time,E-field (V/m),\n2026-11-18T09:00:00Z,207.1,OK\n2026-11-18T09:00:01Z,207.2,OVL\n",
			table.Entry{Numbers: map[table.Column]int{table.Status: 3}}, 1, "", ""},
		{"it is the status", unknown, table.Entry{Columns: map[table.Column]string{table.Status: "Weather note"}}, 3, "", ""},
		{"it marks nothing", unknown, table.Entry{Ignored: []string{"weather note"}}, 0,
			"the job sheet says that “Weather note” marks nothing; one mark that would make a reading invalid stands there and is not read, first in row 3", ""},
		{"there is no status", unknown, table.Entry{NoStatus: true}, 0, "", "a column that is not read holds a mark of overload"},
		{"a column of validity is named for the status", "Time,E-field (V/m),Valid\n2026-11-18T09:00:00Z,207.1,1\n2026-11-18T09:00:01Z,207.2,0\n2026-11-18T09:00:02Z,207.3,1\n",
			table.Entry{Columns: map[table.Column]string{table.Status: "Valid"}}, 1, "", ""},
		{"marks of the laboratory", another, table.Entry{StatusGood: []string{"remote"}}, 0, "the job sheet says that “remote” in the status says nothing against a reading", ""},
		{"a bad mark of the laboratory", strings.Replace(another, "REMOTE", "OK", 2), table.Entry{StatusBad: []string{"Remote"}}, 1, "", ""},
		{"an overload cannot be good", another, table.Entry{StatusGood: []string{"Overload"}}, 0, "", "cannot be a good one"},
		{"good and bad at once", another, table.Entry{StatusGood: []string{"REMOTE"}, StatusBad: []string{"remote"}}, 0, "", "good and bad at once"},
		{"known marks the other way round", strings.Replace(strings.ReplaceAll(another, "REMOTE", "1"), "207.2,1", "207.2,0", 1),
			table.Entry{StatusGood: []string{"1"}, StatusBad: []string{"0"}}, 1, "the job sheet says that “1” in the status says nothing against a reading", ""},
		{"known", known, table.Entry{}, 1, "", ""},
		{"one of two left out", known, table.Entry{Ignored: []string{"Status"}}, 0, "", "a column that marks readings as not to be trusted cannot be left out"},
		{"every status left out", known, table.Entry{NoStatus: true}, 0, "", "a column that marks readings as not to be trusted cannot be left out"},
		{"a status of another sort", another, table.Entry{}, 3, "", ""},
		{"a status of another sort, left out", another, table.Entry{NoStatus: true}, 0,
			"the job sheet says that “Status” marks nothing; 3 marks that would make readings invalid stand there and are not read, first in row 2", ""},
		{"a word that is wrong", known, table.Entry{Ignored: []string{"Staus"}}, 0, "", "the header has no column “Staus”, which ignore_columns names"},
		{"the field itself", known, table.Entry{Ignored: []string{"E-field (V/m)"}}, 0, "", "lacks a field column"},
		{"one of two fields", "Time,E-field (V/m),Total field (V/m)\n2026-11-18T09:00:00Z,207.1,3\n", table.Entry{Ignored: []string{"Total field (V/m)"}}, 0, "", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			log, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", []byte(test.log)), test.entry, record.Settings{})
			if test.asks != "" {
				require.ErrorContains(t, err, test.asks)
				return
			}
			require.NoError(t, err)
			invalid := 0
			for _, fault := range log.Faults {
				if fault != 0 {
					invalid++
				}
			}
			assert.Equal(t, test.invalid, invalid, "%v", log.File.Problems)
			var remarks []string
			for _, problem := range log.File.Problems {
				if problem.Kind == record.Remark {
					remarks = append(remarks, problem.Reason.String())
				}
			}
			if test.remark == "" {
				assert.Empty(t, remarks)
			} else {
				assert.Equal(t, []string{test.remark}, remarks)
			}
		})
	}
}
