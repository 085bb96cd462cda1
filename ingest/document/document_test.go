package document

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
)

const text = `title = "a"
[[run]]
id = "H1"
dwell = { file = "q", columns = { time = "t" } }
[[run.probe]]
file = "z"
[[run.probe]]
file = "z2"
[[run]]
id = "H2"
[[run.probe]]
change = [ { frequency = "1 MHz" },
 { frequency = "2 MHz" } ]
[site.place]
name = "x"
`

func TestEveryKeyKnowsItsLine(t *testing.T) {
	d, err := Parse([]byte(text), "job.toml")
	require.NoError(t, err)
	for path, line := range map[string]int{"title": 1, "run[1]": 2, "run[1].id": 3, "run[1].dwell.file": 4, "run[1].dwell.columns.time": 4,
		"run[1].probe[2].file": 8, "run[2].id": 10, "run[2].probe[1].change[1].frequency": 12, "run[2].probe[1].change[2].frequency": 13,
		"site.place.name": 15, "run[1].probe[2].missing": 7, "run[2].tuning": 9, "nothing": 0} {
		assert.Equal(t, line, d.Place(path).Row, path)
	}
}

func TestKeysThatNobodyReadAreReported(t *testing.T) {
	d, err := Parse([]byte("a = 1\nbrod = 2\n"), "f.toml")
	require.NoError(t, err)
	root := d.Root()
	assert.Equal(t, 1, root.Whole("a", 0, 0))
	root.Text("broad")
	root.Close()
	assert.EqualError(t, d.Messages.Err(), "f.toml, line 2, brod: the key \"brod\" is not known here\n    expected: one of a, broad\n    to do:    did you mean \"broad\"?")
}

func TestValues(t *testing.T) {
	d, err := Parse([]byte("at = 2026-11-18T09:00:00\non = 2026-11-18\nzoned = 2026-11-18T09:00:00+02:00\npart = 0.5\npower = \"34 dBm\"\n"), "f.toml")
	require.NoError(t, err)
	root := d.Root()
	oslo, err := time.LoadLocation("Europe/Oslo")
	require.NoError(t, err)
	assert.Equal(t, "2026-11-18T08:00:00Z", root.DateTime("at", oslo).UTC().Format(time.RFC3339))
	assert.Equal(t, "2026-11-18T07:00:00Z", root.DateTime("zoned", oslo).UTC().Format(time.RFC3339))
	assert.Equal(t, time.Date(2026, 11, 18, 0, 0, 0, 0, time.UTC), root.Date("on"))
	assert.Equal(t, 0.5, root.Number("part", 0))
	assert.InEpsilon(t, 2.512, float64(Quantity(root, "power", 0, "1 W", quantity.ParsePower)), 1e-3)
	root.Close()
	assert.NoError(t, d.Messages.Err())
}
