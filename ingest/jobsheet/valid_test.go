package jobsheet

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// probesOf is the smallest sheet with these entries in the place of its probe.
func probesOf(entries ...string) string {
	head, _, _ := strings.Cut(smallest, "[[run.probe]]")
	for _, entry := range entries {
		head += "[[run.probe]]\n" + entry + "\n"
	}
	return head
}

func TestPlacesOfProbes(t *testing.T) {
	const a, b, c, d = "file = \"a.csv\"", "file = \"b.csv\"", "file = \"c.csv\"", "file = \"d.csv\""
	const early, late = "\nto = 2026-11-18T10:30:00", "\nfrom = 2026-11-18T10:30:00"
	left := func(entry string) string { return "place = \"left\"\n" + entry }
	for _, test := range []struct {
		name    string
		entries []string
		want    [][]int
	}{
		{"side by side", []string{a, b}, [][]int{{0}, {1}}},
		{"one after the other", []string{a + early, b + late}, [][]int{{0, 1}}},
		{"in the order of their times", []string{a + late, b + early}, [][]int{{1, 0}}},
		{"one that was changed beside one that was not", []string{a, b + early, c + late}, [][]int{{0}, {1, 2}}},
		{"two places", []string{left(a + early), b + early, left(c + late), d + late}, [][]int{{0, 2}, {1, 3}}},
		{"a place with one probe", []string{left(a), b}, [][]int{{0}, {1}}},
		{"the same logger with another probe", []string{a + early, a + late}, [][]int{{0, 1}}},
	} {
		sheet, err := Parse([]byte(probesOf(test.entries...)), "job.toml")
		require.NoError(t, err, test.name)
		assert.Equal(t, test.want, sheet.Runs[0].Places(), test.name)
	}
}

func TestTimesOfProbes(t *testing.T) {
	sheet, err := Parse([]byte(probesOf("file = \"a.csv\"\nto = 2026-11-18T10:30:00", "file = \"b.csv\"\nfrom = 2026-11-18T09:30:00Z")), "job.toml")
	require.NoError(t, err)
	change := quantity.InstantOf(time.Date(2026, 11, 18, 9, 30, 0, 0, time.UTC)) // in Oslo it is an hour later
	from, to := sheet.Runs[0].Probes[0].Valid()
	assert.Equal(t, []quantity.Instant{math.MinInt64, change}, []quantity.Instant{from, to})
	from, to = sheet.Runs[0].Probes[1].Valid()
	assert.Equal(t, []quantity.Instant{change, math.MaxInt64}, []quantity.Instant{from, to})
}

func TestProbesThatCannotFollowOneAnother(t *testing.T) {
	const early, late = "\nto = 2026-11-18T10:30:01", "\nfrom = 2026-11-18T10:30:00"
	const a, b, c = "asset = \"FP-03\"\nfile = \"a.csv\"", "asset = \"FP-04\"\nfile = \"b.csv\"", "file = \"c.csv\""
	const left = "\nplace = \"left\""
	for _, test := range []struct {
		name    string
		entries []string
		want    string
	}{
		{"both for a second", []string{a + early, b + late}, "FP-03 (a.csv) to 2026-11-18 10:30:01; FP-04 (b.csv) from 2026-11-18 10:30:00"},
		{"one without times", []string{a + left, b + late + left}, "FP-03 (a.csv) at all times; FP-04 (b.csv) from 2026-11-18 10:30:00"},
		{"two side by side that were both changed", []string{a + early, c + early, b + late}, "FP-03 (a.csv) to 2026-11-18 10:30:01; c.csv to 2026-11-18 10:30:01"},
		{"one within another", []string{a, b + "\nfrom = 2026-11-18T10:00:00\nto = 2026-11-18T12:00:00", c + late + "\nto = 2026-11-18T10:40:00"},
			"FP-04 (b.csv) from 2026-11-18 10:00:00 to 2026-11-18 12:00:00; c.csv from 2026-11-18 10:30:00 to 2026-11-18 10:40:00"},
		{"taken away before it came", []string{a + "\nfrom = 2026-11-18T10:30:00\nto = 2026-11-18T10:30:00"}, "taken away before it was put there"},
		{"a time of day alone", []string{a + "\nto = 10:30:00"}, "a date and time without quotation marks"},
		{"a time in quotation marks", []string{a + "\nto = \"10:30\""}, "a date and time without quotation marks"},
	} {
		_, err := Parse([]byte(probesOf(test.entries...)), "job.toml")
		assert.ErrorContains(t, err, test.want, test.name)
	}
}

// TestAProbeWithoutItsLogIsTakenOutAlone: what cannot be read yet of one of several
// probes that follow one another leaves the rest of the run.
func TestAProbeWithoutItsLogIsTakenOutAlone(t *testing.T) {
	const early, late = "\nto = 2026-11-18T10:30:00", "\nfrom = 2026-11-18T10:30:00"
	const a, b, c = "file = \"a.csv\"", "file = \"b.csv\"", "file = \"c.csv\"\ncorrection = \"cc.csv\""
	for _, test := range []struct {
		name    string
		entries []string
		gone    string
		left    []string // nil: the run is taken out
	}{
		{"the second of a place", []string{a + early, b + late}, "b.csv", []string{"a.csv"}},
		{"the first of a place", []string{a + early, b + late}, "a.csv", []string{"b.csv"}},
		{"by its correction", []string{a + early, c + late}, "cc.csv", []string{"a.csv"}},
		{"the only one of a place", []string{a + early, b}, "a.csv", nil},
		{"one of two side by side", []string{a, b}, "b.csv", nil},
		{"one log of two probes of a place", []string{a + early, a + late}, "a.csv", nil},
		{"one that stays beside them", []string{b, a + early, c + late}, "b.csv", nil},
	} {
		sheet, err := Parse([]byte(probesOf(test.entries...)), "job.toml")
		require.NoError(t, err, test.name)
		before := sheet.Runs[0].Probes
		assert.True(t, sheet.Drop(func(e *table.Entry) bool { return e.File == test.gone }), test.name)
		assert.Len(t, before, len(test.entries), "who looked at the sheet before keeps what there was")
		var left []string
		for i := range sheet.Runs {
			for k := range sheet.Runs[i].Probes {
				left = append(left, sheet.Runs[i].Probes[k].Log.File)
			}
		}
		assert.Equal(t, test.left, left, test.name)
	}
}
