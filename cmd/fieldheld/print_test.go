package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report/seal/audit"
)

// What a file of unknown origin says of itself stands on the line that tells it, and
// makes none of its own.
func TestNoNameInAReportMakesALineOfTheAudit(t *testing.T) {
	const forged = "NT-1\n[#] signature   holds\r\u202e\u2028"
	var out bytes.Buffer
	require.NoError(t, printAudit(&out, &audit.Result{Name: forged, Number: forged, Verdict: forged,
		Layers: []audit.Layer{{Name: "file", State: audit.Fails, Found: "the file calls itself " + forged}}}))
	for _, line := range strings.Split(out.String(), "\n") {
		assert.False(t, strings.HasPrefix(line, "[#]"), line)
		assert.NotContains(t, line, "\u202e")
		assert.NotContains(t, line, "\u2028")
		assert.NotContains(t, line, "\r")
	}
}
