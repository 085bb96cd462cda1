package record_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

func lookAt(t testing.TB, data string, entry table.Entry, kind record.Kind) *record.Look {
	t.Helper()
	look, err := record.LookAt(table.Bytes("probe/h1.csv", []byte(data)), entry, record.Settings{Zone: oslo(t)}, kind)
	require.NoError(t, err)
	return look
}

func TestLookAtProbeLog(t *testing.T) {
	data := "Probe FP-03\r\n\r\nDatum;Uhrzeit;Feldstärke;Batterie [V];Seriennr\r\n;;V/m;;\r\n" +
		"18.11.2026;09:00:00,0;0,51;3,9;7\r\n18.11.2026;09:00:00,5;0,52;3,9;7\r\n18.11.2026;09:00:01,0;0,53;3,9;7\r\n" +
		"18.11.2026;09:00:09,0;0,54;3,9;7\r\n18.11.2026;09:00:09,5;x;3,9;7\r\n18.11.2026;09:00:09,5;0,55;3,9;7\r\n18.11.2026;09:00:09,5;0,55;3,9;7\r\n"
	look := lookAt(t, data, table.Entry{}, record.AnyKind)
	assert.Empty(t, look.Problems)
	assert.Equal(t, record.KindProbeLog, look.Kind)
	assert.Equal(t, "UTF-8", look.Encoding)
	assert.Equal(t, ';', look.Delimiter)
	assert.Equal(t, ',', look.Decimal)
	assert.Equal(t, 3, look.HeaderRow)
	assert.Equal(t, 4, look.UnitRow)
	assert.Equal(t, []record.LookColumn{
		{Letter: "A", Heading: "Datum", Quantity: "date", Why: "by its name"},
		{Letter: "B", Heading: "Uhrzeit", Quantity: "time", Why: "by its name"},
		{Letter: "C", Heading: "Feldstärke", Quantity: "field", Why: "by its name", Unit: "V/m", UnitWhy: "in row 4"},
		{Letter: "D", Heading: "Batterie [V]", Quantity: "battery", Why: "by its name"},
		{Letter: "E", Heading: "Seriennr"},
	}, look.Columns)
	assert.Equal(t, &record.LookTimes{How: "dates and times of day", Order: "day before month", OrderWhy: "row 5", Zone: "Europe/Oslo", ZoneWhy: "the report's"}, look.Times)
	assert.Equal(t, 6, look.File.RowsRead)
	assert.Equal(t, []int{9}, problemsOf(look.File, record.NoValue), "a row without a reading keeps its time")
	assert.Equal(t, []int{11}, problemsOf(look.File, record.Duplicate))
	assert.Equal(t, 500*time.Millisecond, look.Interval)
	assert.Equal(t, 1500*time.Millisecond, look.Longest)
	require.Equal(t, 1, look.GapCount)
	assert.Equal(t, 7, look.Gaps[0].After)
	assert.Equal(t, 8, look.Gaps[0].Before)
	assert.Equal(t, 8*time.Second, look.Gaps[0].Length)
	assert.Equal(t, record.LookRow{Row: 5, Values: []record.Value{{Quantity: "time", Text: "2026-11-18 09:00:00 +01:00"}, {Quantity: "field", Text: "0.51 V/m"}}}, look.First[0])
	assert.Equal(t, 11, look.Last[len(look.Last)-1].Row)
	assert.Equal(t, []string{
		`file = "probe/h1.csv"`, `delimiter = ";"`, `decimal = ","`, `header_row = 3`,
		`columns = { date = "Datum", time = "Uhrzeit", field = "Feldstärke" }`, `units = { field = "V/m" }`, `time_format = "2.1.2006"`,
	}, look.Lines)
}

func TestLookFindsTheKind(t *testing.T) {
	tests := map[record.Kind]string{
		record.KindProbeLog:    "Time,Ex (V/m),Ey (V/m),Ez (V/m),Frequency (MHz)\n2026-11-18T08:00:00Z,1,2,3,30\n",
		record.KindPowerFile:   "Frequency (MHz),Forward (W),Reflected (W)\n30,10,1\n",
		record.KindDwellRecord: "Frequency (MHz),Start,End\n30,2026-11-18T08:00:00Z,2026-11-18T08:00:03Z\n",
		record.KindMotion:      "Start,End\n2026-11-18T08:00:00Z,2026-11-18T08:00:03Z\n",
		record.KindCorrection:  "Frequency (MHz),Factor (dB),Uncertainty (dB)\n30,1.5,0.5\n",
		record.KindRegister:    "Asset,Description,Serial,Due\nFP-03,probe,7,2027-03-02\n",
		record.KindLowLevel:    "Frequency (MHz),Forward (W),Field (V/m)\n30,10,18\n",
	}
	for kind, data := range tests {
		look := lookAt(t, data, table.Entry{}, record.AnyKind)
		assert.Equal(t, kind, look.Kind)
		assert.Empty(t, look.Problems, kind)
		assert.Len(t, look.First, 1, kind)
		assert.Equal(t, look.First, lookAt(t, data, table.Entry{}, kind).First, kind)
	}
	assert.Len(t, tests, len(record.Kinds()))
}

// TestLookAtBadInputs: what keeps a table from being read does not keep it from
// being looked at, and is told in the same words.
func TestLookAtBadInputs(t *testing.T) {
	kinds := map[string]record.Kind{"probe": record.KindProbeLog, "power": record.KindPowerFile, "dwell": record.KindDwellRecord,
		"motion": record.KindMotion, "correction": record.KindCorrection, "register": record.KindRegister}
	for _, c := range badInputs(t) {
		look, err := record.LookAt(table.Bytes(c.file, []byte(c.data)), c.entry, record.Settings{Zone: oslo(t)}, kinds[c.kind])
		switch {
		case err != nil:
			assert.Equal(t, c.messages(), err.Error(), c.name)
		case len(look.Problems) > 0:
			assert.Equal(t, c.messages(), look.Problems.Err().Error(), c.name)
		default:
			assert.NotEmpty(t, look.File.Problems, c.name)
			assert.NotEmpty(t, look.First, c.name)
		}
	}
}

// TestExplicitEntries: what a look offers to paste reads the file in the same way.
func TestExplicitEntries(t *testing.T) {
	for _, c := range honestLogs() {
		t.Run(c.name, func(t *testing.T) {
			look := lookAt(t, c.data, c.entry, record.AnyKind)
			require.Empty(t, look.Problems)
			require.Equal(t, record.KindProbeLog, look.Kind)
			found, stated := readProbe(t, c.data, c.entry), readProbe(t, c.data, look.Entry)
			found.File.Writing, stated.File.Writing = record.Writing{}, record.Writing{} // what is stated counts as shown
			assert.Equal(t, found, stated)
			for _, line := range look.Lines {
				assert.False(t, strings.ContainsAny(line, "\n\r\x00"))
			}
		})
	}
}
