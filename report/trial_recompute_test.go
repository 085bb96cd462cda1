package report_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What follows computes the sustained field of a visit from the written records, as
// the rules say and in the plainest way: it shares nothing with the evaluation, nor
// with the bench that wrote the records.

// A trialLog says how one probe log is read.
type trialLog struct {
	file, correction string
	skip             int   // lines before the first row
	delimiter        rune  // of columns
	time             []int // columns of date and time
	field            []int // columns of the field or its axes
	bad              string
	statusColumn     int
	layout           string
	offset           time.Duration
	place            string
	from, to         string // "" for all of the file
	factor           float64
}

// A trialRunFiles says which files belong to a run, and what is asked of it.
type trialRunFiles struct {
	id, dwell   string
	dwellSkip   int
	dwellRune   rune
	dwellLayout string
	purpose     int // column, 0 for none
	unit        float64
	logs        []trialLog
	mean        bool
	required    time.Duration
	zone        string
}

// aReading is one row of a log, corrected for nothing yet.
type aReading struct {
	at    time.Time
	value float64
	bad   bool
}

// aPiece is the time for which a reading speaks.
type aPiece struct {
	from, to time.Time
	level    float64
}

func readRows(t *testing.T, path string, delimiter rune, skip int) [][]string {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	reader := csv.NewReader(strings.NewReader(strings.Join(strings.SplitAfter(string(data), "\n")[skip:], "")))
	reader.Comma, reader.FieldsPerRecord = delimiter, -1
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	return rows
}

func numberOf(t *testing.T, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	require.NoError(t, err)
	return x
}

func timeOf(t *testing.T, layout, text string, zone *time.Location) time.Time {
	t.Helper()
	at, err := time.ParseInLocation(layout, text, zone)
	require.NoError(t, err)
	return at
}

// readings reads a log.
func (l trialLog) readings(t *testing.T, dir string, zone *time.Location) []aReading {
	t.Helper()
	var list []aReading
	for _, row := range readRows(t, filepath.Join(dir, l.file), l.delimiter, l.skip) {
		var clock []string
		for _, k := range l.time {
			clock = append(clock, row[k])
		}
		r := aReading{at: timeOf(t, l.layout, strings.Join(clock, " "), zone).Add(l.offset)}
		for _, k := range l.field {
			r.value += math.Pow(numberOf(t, row[k]), 2)
		}
		r.value = math.Sqrt(r.value)
		r.bad = l.bad != "" && row[l.statusColumn] == l.bad
		list = append(list, r)
	}
	return list
}

// decibelsAt interpolates a correction table over the logarithm of frequency.
func (l trialLog) decibelsAt(t *testing.T, dir string, f float64) float64 {
	t.Helper()
	rows := readRows(t, filepath.Join(dir, l.correction), l.delimiter, 1)
	for i := 1; i < len(rows); i++ {
		f0, f1 := numberOf(t, rows[i-1][0])*1e6, numberOf(t, rows[i][0])*1e6
		d0, d1 := numberOf(t, rows[i-1][1]), numberOf(t, rows[i][1])
		if f >= f0 && f <= f1 {
			return d0 + (d1-d0)*(math.Log10(f)-math.Log10(f0))/(math.Log10(f1)-math.Log10(f0))
		}
	}
	t.Fatalf("%s says nothing of %g Hz", l.correction, f)
	return 0
}

// longestGap is three times the median of the distances of a log's rows.
func longestGap(list []aReading) time.Duration {
	var gaps []time.Duration
	for i := 1; i < len(list); i++ {
		if d := list[i].at.Sub(list[i-1].at); d > 0 {
			gaps = append(gaps, d)
		}
	}
	slices.Sort(gaps)
	n := len(gaps)
	return 3 * (gaps[(n-1)/2] + gaps[n/2]) / 2
}

// pieces are the times for which the readings of a visit speak.
func pieces(list []aReading, start, end time.Time, factor float64) []aPiece {
	gap := longestGap(list)
	var in []aReading
	for _, r := range list {
		if !r.at.Before(start) && r.at.Before(end) {
			in = append(in, r)
		}
	}
	var out []aPiece
	for i, r := range in {
		p := aPiece{from: r.at.Add(-gap / 2), to: r.at.Add(gap / 2), level: r.value * factor}
		if p.from.Before(start) {
			p.from = start
		}
		if p.to.After(end) {
			p.to = end
		}
		if i > 0 && r.at.Sub(in[i-1].at) <= gap {
			p.from = in[i-1].at.Add(r.at.Sub(in[i-1].at) / 2)
		}
		if i < len(in)-1 && in[i+1].at.Sub(r.at) <= gap {
			p.to = r.at.Add(in[i+1].at.Sub(r.at) / 2)
		}
		if !r.bad {
			out = append(out, p)
		}
	}
	return out
}

// together makes one record of several probes: the lowest of them, or their mean.
func together(probes [][]aPiece, mean bool) []aPiece {
	if len(probes) == 1 {
		return probes[0]
	}
	var borders []time.Time
	for _, list := range probes {
		for _, p := range list {
			borders = append(borders, p.from, p.to)
		}
	}
	sort.Slice(borders, func(i, k int) bool { return borders[i].Before(borders[k]) })
	var out []aPiece
	for i := 1; i < len(borders); i++ {
		p := aPiece{from: borders[i-1], to: borders[i], level: math.Inf(1)}
		sum, seen := 0.0, 0
		for _, list := range probes {
			for _, q := range list {
				if !q.from.After(p.from) && !q.to.Before(p.to) {
					sum, seen, p.level = sum+q.level, seen+1, min(p.level, q.level)
				}
			}
		}
		if p.to.After(p.from) && seen == len(probes) {
			if mean {
				p.level = sum / float64(seen)
			}
			out = append(out, p)
		}
	}
	return out
}

// sustainedOf is the highest level that was there for the required time.
func sustainedOf(list []aPiece, required time.Duration) float64 {
	best := math.NaN()
	for i := range list {
		low := math.Inf(1)
		for k := i; k < len(list) && (k == i || list[k].from.Equal(list[k-1].to)); k++ {
			low = min(low, list[k].level)
			if list[k].to.Sub(list[i].from) >= required-time.Millisecond && !(low <= best) {
				best = low
			}
		}
	}
	return best
}

// recompute gives the sustained field of every test step of a run, in its order.
func (r trialRunFiles) recompute(t *testing.T, dir string) (frequencies, sustained []float64) {
	t.Helper()
	zone, err := time.LoadLocation(r.zone)
	require.NoError(t, err)
	var logs [][]aReading
	for _, l := range r.logs {
		logs = append(logs, l.readings(t, dir, zone))
	}
	for _, row := range readRows(t, filepath.Join(dir, r.dwell), r.dwellRune, r.dwellSkip) {
		if r.purpose > 0 && row[r.purpose] != "" {
			continue
		}
		f := math.Round(numberOf(t, row[0])*r.unit/1e3) * 1e3 // the bench writes whole kilohertz
		start, end := timeOf(t, r.dwellLayout, row[1], zone), timeOf(t, r.dwellLayout, row[2], zone)
		byPlace := map[string][]aPiece{}
		var places []string
		for i, l := range r.logs {
			if l.from != "" && start.Before(timeOf(t, time.DateTime, l.from, zone)) || l.to != "" && end.After(timeOf(t, time.DateTime, l.to, zone)) {
				continue
			}
			factor := math.Pow(10, l.decibelsAt(t, dir, f)/20) * l.factor
			place := l.place
			if place == "" {
				place = fmt.Sprint(i)
			}
			places = append(places, place)
			byPlace[place] = append(byPlace[place], pieces(logs[i], start, end, factor)...)
		}
		var probes [][]aPiece
		for _, place := range places {
			probes = append(probes, byPlace[place])
		}
		frequencies = append(frequencies, f)
		sustained = append(sustained, sustainedOf(together(probes, r.mean), r.required))
	}
	return frequencies, sustained
}
