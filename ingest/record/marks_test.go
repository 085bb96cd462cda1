package record_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// A lone group of three digits may have a decimal mark or one between thousands: what
// else the file shows decides, and where nothing does it is asked.
func TestWhatElseShowsTheDecimalMark(t *testing.T) {
	for name, test := range map[string]struct {
		data string
		want quantity.FieldStrength // of the first sample; 0 where it is asked
	}{
		"a semicolon and commas":            {"Time;E-field (V/m)\n2026-11-18T09:00:00Z;3,500\n2026-11-18T09:00:01Z;3,600\n", 3.5},
		"tabs and commas":                   {"Time\tE-field (V/m)\n2026-11-18T09:00:00Z\t3,500\n2026-11-18T09:00:01Z\t3,600\n", 3.5},
		"commas in times":                   {"Time,E-field (V/m)\n\"2026-11-18 09:50:04,400\",\"3,500\"\n\"2026-11-18 09:50:04,800\",\"3,600\"\n", 3.5},
		"commas in times, points":           {"Time;E-field (V/m)\n2026-11-18 09:50:04,400;3.500\n2026-11-18 09:50:04,800;3.600\n", 3500},
		"points in times":                   {"Time;E-field (V/m)\n2026-11-18 09:50:04.400;3,500\n2026-11-18 09:50:04.800;3,600\n", 3500},
		"points in times, points":           {"Time;E-field (V/m)\n2026-11-18 09:50:04.400;3.500\n2026-11-18 09:50:04.800;3.600\n", 3.5},
		"a number against the times":        {"Time;E-field (V/m)\n2026-11-18 09:50:04.400;3,500\n2026-11-18 09:50:04.800;3,61\n", 3.5},
		"a number against the delimiter":    {"Time;E-field (V/m)\n2026-11-18T09:00:00Z;3,500\n2026-11-18T09:00:01Z;3.6\n", 3500},
		"quoted commas, nothing else":       {"Time,E-field (V/m)\n2026-11-18T09:00:00Z,\"3,500\"\n2026-11-18T09:00:01Z,\"3,600\"\n", 0},
		"commas between cells, points":      {"Time,E-field (V/m)\n2026-11-18T09:00:00Z,3.500\n2026-11-18T09:00:01Z,3.600\n", 3.5},
		"a semicolon and points":            {"Time;E-field (V/m)\n2026-11-18T09:00:00Z;3.500\n2026-11-18T09:00:01Z;3.600\n", 0},
		"times of both kinds, nothing else": {"Time,E-field (V/m)\n\"2026-11-18 09:50:04,400\",\"3,500\"\n2026-11-18 09:50:04.800,\"3,600\"\n", 0},
	} {
		log, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", []byte(test.data)), table.Entry{}, record.Settings{})
		if test.want == 0 {
			assert.ErrorContains(t, err, "decimal", name)
			continue
		}
		require.NoError(t, err, name)
		assert.Equal(t, test.want, log.Readings[0], name)
	}
}
