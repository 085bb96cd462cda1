package record_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// What digits without marks in a column of times are taken for, for a report that
// is issued on 2026-11-20, and for one whose date is not known.
func TestDigitsInAColumnOfTimes(t *testing.T) {
	const asked = ""
	start := time.Date(2026, 11, 18, 8, 0, 0, 0, time.UTC)
	issued := time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)
	for _, test := range []struct {
		cell            string
		want, dateless  string   // UTC; asked where it is a question
		layouts         []string // that the question names
		heading, format string
	}{
		{cell: "1794992400", want: "2026-11-18T09:00:00", dateless: "2026-11-18T09:00:00"},
		{cell: "1794992400.125", want: "2026-11-18T09:00:00.125", dateless: "2026-11-18T09:00:00.125"},
		{cell: "1794992400125", want: "2026-11-18T09:00:00.125", dateless: "2026-11-18T09:00:00.125"},
		{cell: "1794992400125250", want: "2026-11-18T09:00:00.12525", dateless: "2026-11-18T09:00:00.12525"},
		{cell: "1794992400125250500", want: "2026-11-18T09:00:00.1252505", dateless: "2026-11-18T09:00:00.1252505"},
		{cell: "202611180900", layouts: []string{"200601021504"}},
		{cell: "202306090000", layouts: []string{"200601021504"}},
		{cell: "261118090000", layouts: []string{"060102150405"}},
		{cell: "2611180900", layouts: []string{"0601021504"}},
		{cell: "2306090000", layouts: []string{"0601021504"}},
		{cell: "1811260900", layouts: []string{"0201061504"}},
		{cell: "20261118090000", layouts: []string{"20060102150405"}},
		{cell: "18112026090000", layouts: []string{"02012006150405"}},
		{cell: "20261118090000.125", layouts: []string{"20060102150405.000"}},
		{cell: "2.02611E+11"},
		{cell: "1.795E+09"}, // a spreadsheet hid the other digits
		{cell: "1.79499240025e+09", want: "2026-11-18T09:00:00.25", dateless: "2026-11-18T09:00:00.25"},
		{cell: "1.794992400250000000e+09", want: "2026-11-18T09:00:00.25", dateless: "2026-11-18T09:00:00.25"},
		{cell: "900000000"}, // 1998
		{cell: "1394992400", dateless: "2014-03-16T17:53:20"}, // more than ten years before
		{cell: "2209992400", dateless: "2040-01-12T14:46:40"},
		{cell: "202611180900", format: "200601021504", want: "2026-11-18T09:00:00", dateless: "2026-11-18T09:00:00"},
		{cell: "20261118090000", format: "20060102150405", want: "2026-11-18T09:00:00", dateless: "2026-11-18T09:00:00"},
		{cell: "900000000", format: "unix", want: "1998-07-09T16:00:00", dateless: "1998-07-09T16:00:00"},
		{cell: "900000000", heading: "Unix time", dateless: "1998-07-09T16:00:00"},
		{cell: "1794992400", heading: "Time (s)", want: "2026-11-18T09:00:00", dateless: "2026-11-18T09:00:00"},
		{cell: "1794992400125", heading: "Time (ms)", want: "2026-11-18T09:00:00.125", dateless: "2026-11-18T09:00:00.125"},
		{cell: "1794992400", heading: "Time (µs)", want: "2026-11-18T08:29:54.9924", dateless: "2026-11-18T08:29:54.9924"}, // half an hour from the start
		{cell: "1794992400", heading: "Unix time", want: "2026-11-18T09:00:00", dateless: "2026-11-18T09:00:00"},
	} {
		if test.heading == "" {
			test.heading = "Time"
		}
		data := []byte(test.heading + ",E-field (V/m)\n" + test.cell + ",207.1\n")
		for _, known := range []struct {
			date time.Time
			want string
		}{{issued, test.want}, {time.Time{}, test.dateless}} {
			name := fmt.Sprintf("%s %q %q on %s", test.heading, test.cell, test.format, known.date.Format(time.DateOnly))
			log, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", data), table.Entry{TimeFormat: test.format, Start: start},
				record.Settings{Zone: time.UTC, Date: known.date})
			if known.want == asked {
				if assert.Error(t, err, name) {
					assert.Contains(t, err.Error(), "time_format", name)
					for _, layout := range test.layouts {
						assert.Contains(t, err.Error(), fmt.Sprintf("time_format = %q", layout), name)
					}
				}
				continue
			}
			require.NoError(t, err, name)
			assert.Equal(t, known.want, utcTimes(log.Times)[0], name)
		}
	}
}
