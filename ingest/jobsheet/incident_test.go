package jobsheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestIncidents(t *testing.T) {
	const one = "\n[[incident]]\nat = 2026-11-18T10:31:00\nwhat = \"amplifier tripped\"\ndone = \"reset\"\narticle = \"firmware 2.15\"\n"
	sheet, err := Parse([]byte(smallest+one), "job.toml")
	require.NoError(t, err)
	require.Len(t, sheet.Incidents, 1)
	i := sheet.Incidents[0]
	assert.Equal(t, []string{"", "amplifier tripped", "reset", "firmware 2.15"}, []string{i.Run, i.What, i.Done, i.Article})
	assert.Equal(t, "2026-11-18 10:31:00 +0100", i.At.Format("2006-01-02 15:04:05 -0700"), "in the report's zone")
	for text, want := range map[string]string{
		"\n[[incident]]\nwhat = \"x\"\n":                                             "this key is needed and missing",
		"\n[[incident]]\nat = 2026-11-18T10:31:00\n":                                 "this key is needed and missing",
		"\n[[incident]]\nat = 2026-11-18T10:31:00\nwhat = \"x\"\nrun = \"H9\"\n":     "this name refers to nothing",
		"\n[[incident]]\nat = \"10:31\"\nwhat = \"x\"\n":                             "wrong type",
		"\n[[incident]]\nat = 2026-11-18T10:31:00\nwhat = \"x\"\nreason = \"why\"\n": "not known here",
	} {
		_, err := Parse([]byte(smallest+text), "job.toml")
		assert.ErrorContains(t, err, want, text)
	}
}
