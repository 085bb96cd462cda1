package record_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// The one column with a unit of field strength is the field, whatever its word.
func TestAFieldIsToldByItsUnit(t *testing.T) {
	for _, test := range []struct {
		header, cells string
		want          float64 // V/m; 0 where the file is asked about
	}{
		{"Time,E (V/m)", "207.5", 207.5},
		{"Time,EF (V/m)", "207.5", 207.5},
		{"Time,Value (V/m)", "207.5", 207.5},
		{"Time,|E| [V/m]", "207.5", 207.5},
		{"Time,Erms (V/m)", "207.5", 207.5},
		{"Time,Erms (V/m rms)", "207.5", 207.5},
		{"Time,V/m", "207.5", 207.5},
		{"Time,Value\n,V/m", "207.5", 207.5},
		{"Time,Channel 1 (kV/m)", "0.2075", 207.5},
		{"Time,Value (dB(V/m))", "46.0206", 200},
		{"Time,Value (dBuV/m)", "166.0206", 200},
		{"Time,S (W/m²)", "106.1007958", 200}, // E²/377 Ω, 47 CFR 1.1310
		{"Time,S (W·m⁻²)", "106.1007958", 200},
		{"Time,S (mW/m²)", "106100.7958", 200},
		{"Time,S (µW/cm²)", "10610.07958", 200},
		{"Time,S (uW/cm2)", "10610.07958", 200},
		{"Time,S (mW/cm^2)", "10.61007958", 200},
		{"Time,Value (V/m),Battery (V)", "207.5,3.9", 207.5},

		{"Time,E (V/m),Limit (V/m)", "207.5,200", 207.5}, // a name says more than a unit
		{"Time,EF (V/m),F (V/m)", "207.5,1", 0},
		{"Time,EF (V/m),Limit (V/m)", "207.5,200", 0},
		{"Time,Limit (V/m)", "207.5", 0},
		{"Time,Level set (V/m)", "207.5", 0},
		{"Time,Sollwert (V/m)", "207.5", 0},
		{"Time,Ex (V/m),Value (V/m)", "207.5,207.5", 0},
		{"Time,Value (V)", "207.5", 0},
		{"Time,Value (V/m peak)", "207.5", 0},
	} {
		log, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", []byte(test.header+"\n2026-11-18T09:00:00Z,"+test.cells+"\n")), table.Entry{}, record.Settings{})
		if test.want == 0 {
			assert.Error(t, err, test.header)
			continue
		}
		require.NoError(t, err, test.header)
		assert.InDelta(t, test.want, float64(log.Readings[0]), 1e-3, test.header)
	}
}
