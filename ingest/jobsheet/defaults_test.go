package jobsheet

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// twice is the smallest sheet with what its run says taken into defaults, and a
// second run that says some of it otherwise.
const twice = `
[defaults]
probe = { asset = "FP-03", detector = "rms", correction = "corrections/fp03.csv", columns = { field = "Feld", time = "Zeit" }, units.field = "V/m" }
power = { clock_offset = "-0.8 s", forward_correction = "corrections/forward.csv" }
dwell = { delimiter = ";", time_zone = "UTC" }
[[run]]
id = "V1"
polarization = "vertical"
dwell = "dwell/v1.csv"
power = { file = "power/v1.csv" }
[[run.probe]]
file = "probe/v1.csv"
[[run]]
id = "V2"
polarization = "vertical"
dwell = { file = "dwell/v2.csv", delimiter = "," }
power = { file = "power/v2.csv", forward_correction = "corrections/other.csv" }
[[run.probe]]
file = "probe/v2.csv"
asset = "FP-04"
columns.field = 2
`

func TestDefaultsAreWhatEveryRunSays(t *testing.T) {
	sheet, err := Parse([]byte(smallest+twice), "job.toml")
	require.NoError(t, err)
	require.Len(t, sheet.Runs, 3)
	one, two := sheet.Runs[1], sheet.Runs[2]
	assert.Equal(t, "FP-03", one.Probes[0].Asset)
	assert.Equal(t, "rms", one.Probes[0].Detector)
	assert.Equal(t, "corrections/fp03.csv", one.Probes[0].Correction.File)
	assert.EqualValues(t, map[string]string{"field": "Feld", "time": "Zeit"}, plain(one.Probes[0].Log.Columns))
	assert.Equal(t, "corrections/forward.csv", one.ForwardCorrection.File)
	assert.Equal(t, "-800ms", one.Power.ClockOffset.String())
	assert.Equal(t, "dwell/v1.csv", one.Dwell.File)
	assert.Equal(t, ';', one.Dwell.Delimiter)
	assert.Equal(t, "UTC", one.Dwell.Zone.String())

	assert.Equal(t, "FP-04", two.Probes[0].Asset, "what a run says counts")
	assert.EqualValues(t, map[string]string{"time": "Zeit"}, plain(two.Probes[0].Log.Columns))
	assert.Len(t, two.Probes[0].Log.Numbers, 1)
	assert.Equal(t, "corrections/other.csv", two.ForwardCorrection.File)
	assert.Equal(t, "-800ms", two.Power.ClockOffset.String())
	assert.Equal(t, ',', two.Dwell.Delimiter)
	assert.Nil(t, sheet.Runs[0].Power, "a default makes no power file where a run has none")
	for _, run := range []Run{one, two} {
		assert.Contains(t, run.Probes[0].Correction.Place.String(), "line ", "it stands where the default is written")
	}
}

func plain[K, V ~string](m map[K]V) map[string]string {
	texts := map[string]string{}
	for k, v := range m {
		texts[string(k)] = string(v)
	}
	return texts
}

func TestMistakesInDefaultsAreToldOnce(t *testing.T) {
	for name, c := range map[string]struct{ old, new, want string }{
		"a file":          {`asset = "FP-03", detector`, `file = "probe/h1.csv", asset = "FP-03", detector`, "a default cannot name the file of an entry"},
		"a wrong word":    {`detector = "rms"`, `detector = "RSM"`, "none of the words that are known here"},
		"an unknown key":  {`asset = "FP-03"`, `aset = "FP-03"`, `the key "aset" is not known here`},
		"an unknown kind": {`dwell = { delimiter`, `dwel = { delimiter`, `the key "dwel" is not known here`},
		"a wrong type":    {`clock_offset = "-0.8 s"`, `clock_offset = 7`, "a number needs its unit"},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(twice, c.old, c.new, 1)
			require.NotEqual(t, twice, text)
			_, err := Parse([]byte(smallest+text), "job.toml")
			require.ErrorContains(t, err, c.want)
			assert.Equal(t, 1, strings.Count(err.Error(), "job.toml"), "%v", err)
		})
	}
}
