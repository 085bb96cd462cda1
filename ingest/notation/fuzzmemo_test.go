package notation

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// FuzzMemo compares the short way through the times of a log with the long one:
// after any first time has been learned, a second one is either left to the long
// way or read to the same result.
func FuzzMemo(f *testing.F) {
	for _, pair := range [][3]string{
		{"2026-11-18T09:00:00Z", "2026-11-18T09:00:00.125Z", ""},
		{"2026-11-18 09:00:00.5", "2026-11-18 09:00:01,25", ""},
		{"2026-11-18T09:00:00+01:00", "2026-11-18T09:00:00.5+01:00", ""},
		{"11/18/2026 09:00:00 PM", "11/18/2026 09:00:01 PM", ""},
		{"11/18/2026 09:00:00", "11/18/2026 09:00:01 PM", ""},
		{"23:59:59.999", "00:00:00", "18.11.2026"},
		{"09:00:00:125", "09:00:00.125", "2026-11-18"},
		{"9:00:00", "09:00:00", "2026-11-18"},
		{"2026-11-18T09:00:00.1234567891Z", "2026-11-18T09:00:00.123456789Z", ""},
		{"2026-11-18T23:59:60Z", "2026-11-18T24:00:00Z", ""},
		{"18. November 2026 09:00:00", "18. November 2026 09:00:00,5", ""},
	} {
		f.Add(pair[0], pair[1], pair[2])
	}
	f.Fuzz(func(t *testing.T, first, second, date string) {
		for _, order := range []DateOrder{DayFirst, MonthFirst} {
			c := Clock{Order: order}
			var memo Memo
			s, _, ok := c.Parse([]byte(first), []byte(date))
			if !ok {
				continue
			}
			memo.Learn(&c, []byte(first), []byte(date), s)
			got, quick := memo.Recall([]byte(second), []byte(date))
			if !quick {
				continue
			}
			want, _, ok := c.Parse([]byte(second), []byte(date))
			require.True(t, ok, "%q after %q, date %q", second, first, date)
			require.Equal(t, want, got, "%q after %q, date %q", second, first, date)
		}
	})
}
