package zone

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// European summer time ends on the last Sunday of October at 01:00 UTC (Directive
// 2000/84/EC, article 3).
func TestLoad(t *testing.T) {
	t.Setenv("ZONEINFO", "/nowhere")
	oslo, err := Load("Europe/Oslo")
	require.NoError(t, err)
	assert.Equal(t, "Europe/Oslo", oslo.String())
	for at, want := range map[string]int{"2026-10-25T00:59:59Z": 2 * 3600, "2026-10-25T01:00:00Z": 3600} {
		instant, err := time.Parse(time.RFC3339, at)
		require.NoError(t, err)
		_, offset := instant.In(oslo).Zone()
		assert.Equal(t, want, offset, at)
	}
	utc, err := Load("UTC")
	require.NoError(t, err)
	assert.Equal(t, time.UTC, utc)
	for _, name := range []string{"", "Local", "Tallholm", "../etc/passwd", "Europe", "europe/oslo"} {
		_, err := Load(name)
		assert.Error(t, err, name)
	}
}
