package record

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/table"
)

// Below a heading that asks whether a sample is valid 1 is good; below one that
// negates it, or counts faults, 1 is bad.
func TestANegatedHeadingOfValidityIsNoMarkOfAGoodSample(t *testing.T) {
	for heading, good := range map[string]bool{
		"Valid": true, "Reading valid": true, "Units valid": true, "Notes valid": true, "Function valid": true, "Inputs valid": true,
		"IsValid": true, "data_valid": true, "DataValid": true, "valid?": true, "Validity": true, "X valid": true,
		"Invalid": false, "Not valid": false, "NotValid": false, "notvalid": false, "Non-valid": false, "non valid": false, "Unvalidated": false,
		"Validity error": false, "Valid faults": false, "Validation errors": false, "No valid reading": false, "Data invalid": false, "InvalidSample": false,
	} {
		assert.Equal(t, good, saysValid(heading), heading)
		log, err := ReadProbeLog(table.Bytes("h1.csv", []byte("Time,Field (V/m),"+heading+"\n2026-11-18T09:00:00Z,207.1,1\n2026-11-18T09:00:01Z,207.2,0\n")),
			table.Entry{}, Settings{})
		require.NoError(t, err, heading)
		assert.Equal(t, good, log.Faults[0] == NoFault, "1 below %s", heading)
		assert.Equal(t, good, log.Faults[1] == Marked, "0 below %s", heading)
	}
}
