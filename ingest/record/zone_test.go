package record_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// A log whose clock shows nine; the report's zone is that of Oslo, in which nine is
// eight o'clock UTC.
func TestTheZoneOfALog(t *testing.T) {
	const reports, asked = "08:00", ""
	for _, test := range []struct {
		heading, preamble string
		want              string // UTC; asked where the file's zone is a question
	}{
		{"Time", "", reports},
		{"Time (UTC)", "", "09:00"},
		{"Time [UTC]", "", "09:00"},
		{"Time UTC", "", "09:00"},
		{"UTC time", "", "09:00"},
		{"Timestamp_UTC", "", "09:00"},
		{"Time (Z)", "", "09:00"},
		{"Time (GMT)", "", "09:00"},
		{"Time (utc)", "", "09:00"},
		{"Time (UTC+02:00)", "", "07:00"},
		{"Time (UTC+2)", "", "07:00"},
		{"Time (UTC -5)", "", "14:00"},
		{"Time (+02:00)", "", "07:00"},
		{"Time (EDT)", "", "13:00"},
		{"Time EDT", "", "13:00"},
		{"Time [CET]", "", "08:00"},
		{"Time (CEST)", "", "07:00"},
		{"Zeit (MESZ)", "", "07:00"},
		{"Date/Time (JST)", "", "00:00"},
		{"Time (Europe/Helsinki)", "", "07:00"},
		{"Time (local)", "", reports},
		{"Zeit (Ortszeit)", "", reports},
		{"Time (hh:mm:ss)", "", reports},
		{"Time (ISO)", "", reports},
		{"Time (YYYY)", "", reports},
		{"Time (DWELL)", "", reports},
		{"Time (WITA)", "", "01:00"},
		{"Time (of day)", "", reports},
		{"Time", "Time zone: UTC", "09:00"},
		{"Time", "Time zone;UTC", "09:00"},
		{"Time", "Zeitzone: MEZ", "08:00"},
		{"Time", "UTC offset: +02:00", "07:00"},
		{"Time", "Fuseau horaire: UTC+2", "07:00"},
		{"Time", "Time zone: America/New_York", "14:00"},
		{"Time", "Time zone: local", reports},
		{"Time", "All times are in UTC", "09:00"},
		{"Time", "# Times in UTC+02:00", "07:00"},
		{"Time (UTC)", "Time zone: UTC", "09:00"},
		{"Time", "Zone: 3", reports}, // of the chamber
		{"Time", "Start time: 2026-11-18 09:00:00 UTC", reports},
		{"Time", "Times and levels of the chamber", reports},

		{"Time (XQT)", "", asked},
		{"Time XQT", "", asked},
		{"Time (IST)", "", asked}, // India, Ireland, Israel
		{"Time (CST)", "", asked}, // America, China, Cuba
		{"Time (PST)", "", asked}, // America, the Philippines
		{"Time (UTC+25)", "", asked},
		{"Time (UTC plus one)", "", asked},
		{"Time (Europe/Tallholm)", "", asked},
		{"Time (Eastern)", "", asked},
		{"Time (W. Europe Standard Time)", "", asked},
		{"Time", "Time zone: XQT", asked},
		{"Time", "Time zone: (UTC+01:00) Amsterdam, Berlin", asked},
		{"Time", "All times in XQT", asked},
		{"Time (UTC)", "Time zone: CET", asked},
		{"Time (XQT)", "Time zone: UTC", asked},
	} {
		data := test.heading + ",E-field (V/m)\n2026-11-18 09:00:00,207.1\n2026-11-18 09:00:01,207.2\n"
		if test.preamble != "" {
			data = strings.ReplaceAll(test.preamble, ";", ",") + "\n" + data
		}
		src := table.Bytes("probe/h1.csv", []byte(data))
		log, err := record.ReadProbeLog(src, table.Entry{}, record.Settings{Zone: oslo(t)})
		if test.want == asked {
			if assert.Error(t, err, "%s / %s", test.heading, test.preamble) {
				assert.Contains(t, err.Error(), "time zone")
				assert.Contains(t, err.Error(), "time_zone = ")
			}
		} else if assert.NoError(t, err, "%s / %s", test.heading, test.preamble) {
			assert.Equal(t, test.want, log.Times[0].UTC().Format("15:04"), "%s / %s", test.heading, test.preamble)
		}
		// The answer to the question, also where it is the report's own zone.
		log, err = record.ReadProbeLog(src, table.Entry{Zone: oslo(t)}, record.Settings{Zone: oslo(t)})
		require.NoError(t, err)
		assert.Equal(t, "08:00", log.Times[0].UTC().Format("15:04"), "stated: %s / %s", test.heading, test.preamble)
	}
}

// What a time itself says of its zone counts, whatever stands above it.
func TestATimeWithAZoneNeedsNoOther(t *testing.T) {
	log := readProbe(t, "Time (EDT),E-field (V/m)\n2026-11-18T09:00:00Z,207.1\n2026-11-18T11:00:01+02:00,207.2\n", table.Entry{})
	assert.Equal(t, []string{"2026-11-18T09:00:00", "2026-11-18T09:00:01"}, utcTimes(log.Times))
}

// A dwell record whose two headings disagree is asked about.
func TestTheHeadingsOfADwellRecordAgreeOnTheirZone(t *testing.T) {
	read := func(start, end string) error {
		_, err := record.ReadDwellRecord(table.Bytes("dwell/h1.csv", []byte("Frequency (MHz),"+start+","+end+
			"\n30,2026-11-18 09:00:00,2026-11-18 09:00:05\n")), table.Entry{}, record.Settings{Zone: oslo(t)})
		return err
	}
	require.NoError(t, read("Start (UTC)", "End (UTC)"))
	require.NoError(t, read("Start UTC", "End UTC"))
	assert.ErrorContains(t, read("Start (UTC)", "End (CET)"), "two time zones")
	assert.ErrorContains(t, read("Start", "End (XQT)"), "not understood")
}
