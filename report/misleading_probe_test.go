package report_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report"
)

// twoProbes lists both probes of a changed one, the second with what is said of its
// calibration.
func twoProbes(b *bench, calibration string) {
	b.job += "[[equipment]]\nasset = \"FP-03\"\nrole = \"field probe\"\ncalibrated = 2026-03-02\ndue = 2027-03-02\n" +
		"[[equipment]]\nasset = \"FP-04\"\nrole = \"field probe\"\n" + calibration + "\n"
}

const calibrated = "calibrated = 2026-03-02\ndue = 2027-03-02"

// changeProbe lets the probe of the day be another one, with a log of its own, so that the
// first is named up to a time and the second from one, in seconds after nine. Levels
// are those that the first reads in single visits, and the second in all of them.
func changeProbe(b *bench, to, from float64, first map[int]float64, second float64) {
	visits := b.runs[0].visits
	b.runs[0].logs = []benchLog{
		{columns: "Time,E-field (V/m)", reads: holding(visits, 11, first), probe: "asset = \"FP-03\"\nto = " + benchTime(to)},
		{columns: "Time,E-field (V/m)", reads: holding(visits, second, nil), probe: "asset = \"FP-04\"\nfrom = " + benchTime(from)},
	}
}

func changedProbeDays() []misleading {
	const not, yes = report.NotDemonstrated, report.Demonstrated
	return []misleading{
		{"a probe changed between two visits", "each visit has the readings of one probe", func(b *bench) {
			twoProbes(b, calibrated)
			changeProbe(b, 25, 27, nil, 11)
		}, yes, "", ""},
		{"a change that hides a low stretch", "nothing is known of the visit between the probes", func(b *bench) {
			twoProbes(b, calibrated)
			changeProbe(b, 28, 36, map[int]float64{2: 5}, 11)
		}, not, "samples", ""},
		{"a change within a visit", "neither probe saw the field for three seconds, and both together are none", func(b *bench) {
			twoProbes(b, calibrated)
			changeProbe(b, 32, 32, nil, 11)
		}, not, "dwell", ""},
		{"a change within a longer visit", "one of the two saw the field long enough", func(b *bench) {
			b.runs[0].visits[2].end = 38
			twoProbes(b, calibrated)
			changeProbe(b, 32, 32, nil, 11)
		}, yes, "", ""},
		{"a change within a longer visit, and the second probe low", "what held was one second and less of the first probe", func(b *bench) {
			b.runs[0].visits[2].end = 38
			twoProbes(b, calibrated)
			changeProbe(b, 32, 32, nil, 9)
		}, not, "level", ""},
		{"two probes of one place at one moment", "which of them was the field nobody can tell", func(b *bench) {
			twoProbes(b, calibrated)
			changeProbe(b, 33, 27, nil, 11)
		}, "", "valid at one moment", ""},
		{"two probes side by side, one of them taken away", "the place that has no probe any more shows nothing", func(b *bench) {
			twoProbes(b, calibrated)
			changeProbe(b, 40, 0, nil, 11)
			b.runs[0].logs[1].probe = "asset = \"FP-04\""
		}, not, "samples", ""},
		{"a second probe that the list lacks", "nothing is known of its calibration", func(b *bench) { changeProbe(b, 25, 27, nil, 11) }, not, "equipment", ""},
		{"a second probe beyond its range of use", "it was used at 31 MHz", func(b *bench) {
			twoProbes(b, calibrated+"\nto = \"30.95 MHz\"")
			changeProbe(b, 25, 27, nil, 11)
		}, not, "equipment", ""},
		{"a second probe within its range of use", "at 30 MHz the first one was used", func(b *bench) {
			twoProbes(b, calibrated+"\nfrom = \"30.5 MHz\"")
			changeProbe(b, 25, 27, nil, 11)
		}, yes, "", ""},
		{"a calibration that ended on the first day, of the first probe", "on the second day the other one was used", func(b *bench) {
			throughMidnight(b, 0)
			b.job = strings.Replace(b.job, "2027-03-02", "2026-11-17", 1)
		}, yes, "", ""},
		{"a calibration that ended on the first day, of a probe taken away at midnight", "midnight is of the second day, and it was not there any more", func(b *bench) {
			throughMidnight(b, 0)
			b.runs[0].visits[2].start = -1
			changeProbe(b, 0, 0, nil, 11)
			b.runs[0].logs[0].from, b.runs[0].logs[1].from = -30, -30
			b.job = strings.Replace(b.job, "2027-03-02", "2026-11-17", 1)
		}, yes, "", ""},
		{"a calibration that ended on the first day, of a probe used on the second", "it was changed ten seconds after midnight", func(b *bench) {
			throughMidnight(b, 10)
			b.job = strings.Replace(b.job, "2027-03-02", "2026-11-17", 1)
		}, not, "calibration", ""},
		{"a calibration that ended on the first day, of the second probe", "it was used on the second", func(b *bench) {
			throughMidnight(b, 0)
			i := strings.LastIndex(b.job, "2027-03-02")
			b.job = b.job[:i] + "2026-11-17" + b.job[i+len("2027-03-02"):]
		}, not, "calibration", ""},
		{"loggers with clocks of their own", "each is set right by its own offset, and the change is in true time", func(b *bench) {
			twoProbes(b, calibrated)
			changeProbe(b, 25, 27, nil, 11)
			b.runs[0].logs[0].ahead, b.runs[0].logs[1].ahead = -3, 14
			b.runs[0].logs[0].probe += "\nclock_offset = \"3 s\""
			b.runs[0].logs[1].probe += "\nclock_offset = \"-14 s\""
		}, yes, "", ""},
		{"one log under the clocks of two runs", "its readings would prove both polarizations", func(b *bench) {
			b.vertical()
			b.runs = append(b.runs, benchRun{id: "V1", polarization: "vertical", visits: benchVisits(1000, benchFrequencies...),
				head: "probe = [{ file = \"./h1-probe1.csv\", asset = \"FP-03\", clock_offset = \"990 s\" }]"})
		}, "", "counts at two moments", ""},
		{"one log under two clocks of a run", "what the first entry read would count for later visits again", func(b *bench) {
			b.runs[0].logs[0].probe = "asset = \"FP-03\"\nto = " + benchTime(25)
			b.runs[0].head = ""
			b.runs[0].logs[0].probe += "\n[[run.probe]]\nfile = \"h1-probe1.csv\"\nasset = \"FP-03\"\nclock_offset = \"20 s\"\nfrom = " + benchTime(25)
		}, "", "counts at two moments", ""},
		{"a logger whose clock was set within the run", "each of its readings counts once, at its true time", func(b *bench) {
			reads := b.runs[0].logs[0].reads
			b.runs[0].logs[0].reads = func(t float64) string { // from 25 s on it writes times that are 5 s ahead
				switch {
				case t < 25:
					return reads(t)
				case t < 30:
					return ""
				}
				return reads(t - 5)
			}
			b.runs[0].logs[0].probe = "asset = \"FP-03\"\nto = " + benchTime(25) +
				"\n[[run.probe]]\nfile = \"h1-probe1.csv\"\nasset = \"FP-03\"\nclock_offset = \"-5 s\"\nfrom = " + benchTime(25)
		}, yes, "", ""},
		{"loggers with clocks of their own, one not set right", "its readings stand where there was no field", func(b *bench) {
			twoProbes(b, calibrated)
			changeProbe(b, 25, 27, nil, 11)
			b.runs[0].logs[0].ahead, b.runs[0].logs[1].ahead = -3, 14
			b.runs[0].logs[0].probe += "\nclock_offset = \"3 s\""
		}, not, "", ""},
	}
}

// throughMidnight is a day whose third visit begins at midnight, with the probe
// changed so many seconds after it.
func throughMidnight(b *bench, at float64) {
	b.zone = "Pacific/Gambier" // nine hours behind UTC
	b.runs[0].visits = benchVisits(-19.5, benchFrequencies...)
	twoProbes(b, calibrated)
	changeProbe(b, at, at, nil, 11)
	for i := range b.runs[0].logs {
		b.runs[0].logs[i].from = -30
	}
}

// TestReadingsOfAProbeThatWasNotInUseAreTold: what the log of a probe shows at a time
// at which, as the job sheet says, it was not in use counts for nothing, and is told.
func TestReadingsOfAProbeThatWasNotInUseAreTold(t *testing.T) {
	b := smallBench()
	twoProbes(b, calibrated)
	changeProbe(b, 28, 28, map[int]float64{2: 5}, 11)
	r, err := buildBench(t, b)
	require.NoError(t, err)
	require.Equal(t, report.Demonstrated, r.State, list(r.Findings))
	var told []string
	for _, f := range r.Findings {
		if f.Check == "record" {
			told = append(told, fmt.Sprint(f.State, " ", f.Message(), " ", f.Meaning(), " ", f.Evidence))
		}
	}
	require.Len(t, told, 2, "%s", told)
	assert.Contains(t, told[0], "120 of FP-03 (h1-probe1.csv) to 2026-11-18 09:00:28")
	assert.Contains(t, told[0], "between 5 V/m and 11.0")
	assert.Contains(t, told[0], "rows 302 to 541")
	assert.Contains(t, told[1], "80 of FP-04 (h1-probe2.csv) from 2026-11-18 09:00:28")

	assert.Len(t, r.Equipment[0].Uses, 1, "to the end of the last visit before the change")
	assert.Equal(t, "09:00:10 to 09:00:24", r.Equipment[0].Uses[0].From.Format("15:04:05 to ")+r.Equipment[0].Uses[0].To.Format("15:04:05"))
	document, err := r.JSON()
	require.NoError(t, err)
	assert.Equal(t, 5, strings.Count(string(document), `"visit": `), "each visit lists the probe that was in use")
	assert.Contains(t, string(document), `"left_readings": 120`)
}
