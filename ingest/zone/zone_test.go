package zone

import (
	"crypto/sha256"
	"encoding/hex"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTheDatabaseIsOfTheVersionThatItSays(t *testing.T) {
	const of2025c = "8f55634d05f8bca1f7bc7c69c5933428c69357e0bdf565e5ba224e3f88ff12e8"
	sum := sha256.Sum256(database)
	assert.Equal(t, of2025c, hex.EncodeToString(sum[:]), "a new database has a new Version")
	assert.Equal(t, "2025c", Version)
}

func TestZonesAreNotThoseOfTheMachine(t *testing.T) {
	t.Setenv("ZONEINFO", t.TempDir())
	t.Setenv("TZ", "Asia/Tokyo")
	for name, winter := range map[string]string{"UTC": "12:00", "Europe/Oslo": "13:00", "America/New_York": "07:00", "Asia/Kolkata": "17:30", "Etc/GMT-1": "13:00"} {
		zone, err := Load(name)
		require.NoError(t, err)
		assert.Equal(t, name, zone.String())
		assert.Equal(t, winter, time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC).In(zone).Format("15:04"), name)
	}
}

func TestWhatIsNoZoneIsRefused(t *testing.T) {
	for _, name := range []string{"", "Local", "europe/oslo", "Europe", "Europe/", "../UTC", "Europe/Atlantis"} {
		_, err := Load(name)
		assert.Error(t, err, name)
	}
}
