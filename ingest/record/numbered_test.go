package record_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

func TestColumnsByTheirNumbers(t *testing.T) {
	numbers := func(time, field int) map[table.Column]int {
		return map[table.Column]int{table.Time: time, table.Field: field}
	}
	inVoltPerMetre := map[table.Column]string{table.Field: "V/m"}
	none := table.Entry{NoHeader: true, Numbers: numbers(1, 2), Units: inVoltPerMetre}
	for name, test := range map[string]struct {
		data  string
		entry table.Entry
		fault string // "" where the log reads as 207.1, 207.2 V/m
	}{
		"no header":               {"2026-11-18T09:00:00Z,207.1\n2026-11-18T09:00:01Z,207.2\n", none, ""},
		"no header, semicolons":   {"2026-11-18T09:00:00Z;207,1\n2026-11-18T09:00:01Z;207,2\n", none, ""},
		"no header, comments":     {"# FP-03\n\n2026-11-18T09:00:00Z,207.1\n2026-11-18T09:00:01Z,207.2\n", none, ""},
		"other order":             {"1,207.1,2026-11-18T09:00:00Z\n2,207.2,2026-11-18T09:00:01Z\n", table.Entry{NoHeader: true, Numbers: numbers(3, 2), Units: inVoltPerMetre}, ""},
		"the same heading twice":  {"Time,Field (V/m),Field (V/m)\n2026-11-18T09:00:00Z,1,207.1\n2026-11-18T09:00:01Z,1,207.2\n", table.Entry{Numbers: map[table.Column]int{table.Field: 3}}, ""},
		"a number over a word":    {"Time,Field (V/m),Spare\n2026-11-18T09:00:00Z,1,207.1\n2026-11-18T09:00:01Z,1,207.2\n", table.Entry{Numbers: map[table.Column]int{table.Field: 3}, Units: inVoltPerMetre}, ""},
		"twice and not told":      {"Time,Field (V/m),Field (V/m)\n2026-11-18T09:00:00Z,1,207.1\n2026-11-18T09:00:01Z,1,207.2\n", table.Entry{}, "columns = { field = 2 }"},
		"no unit":                 {"2026-11-18T09:00:00Z,207.1\n2026-11-18T09:00:01Z,207.2\n", table.Entry{NoHeader: true, Numbers: numbers(1, 2)}, "units = { field = "},
		"no such column":          {"2026-11-18T09:00:00Z,207.1\n2026-11-18T09:00:01Z,207.2\n", table.Entry{NoHeader: true, Numbers: numbers(1, 5), Units: inVoltPerMetre}, "no column 5"},
		"no number for the field": {"2026-11-18T09:00:00Z,207.1\n", table.Entry{NoHeader: true, Numbers: map[table.Column]int{table.Time: 1}}, "has no number"},
		"words where there is no header": {"Time,Field (V/m)\n2026-11-18T09:00:00Z,207.1\n2026-11-18T09:00:01Z,207.2\n",
			none, "a header row stands here"},
	} {
		src := table.Bytes("probe/h1.csv", []byte(test.data))
		test.entry.FrequencyResolution = quantity.Undefined[quantity.Frequency]()
		log, err := record.ReadProbeLog(src, test.entry, record.Settings{})
		if test.fault != "" {
			assert.ErrorContains(t, err, test.fault, name)
			continue
		}
		require.NoError(t, err, name)
		assert.Equal(t, []quantity.FieldStrength{207.1, 207.2}, log.Readings, name)

		// What look advises reads the same.
		look, err := record.LookAt(src, test.entry, record.Settings{}, record.KindProbeLog)
		require.NoError(t, err, name)
		advised := look.Entry
		again, err := record.ReadProbeLog(src, advised, record.Settings{})
		require.NoError(t, err, "%s: %v", name, look.Lines)
		assert.Equal(t, log.Readings, again.Readings, name)
	}
}
