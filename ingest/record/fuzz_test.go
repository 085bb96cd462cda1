package record

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

// seeds adds the records of the example days that match, and a few strange ones.
func seeds(f *testing.F, pattern string) {
	f.Helper()
	days, err := filepath.Glob(filepath.Join("..", "..", "testdata", "days", "*", "day", pattern))
	require.NoError(f, err)
	require.NotEmpty(f, days)
	for _, path := range days {
		data, err := os.ReadFile(path)
		require.NoError(f, err)
		if filepath.Ext(path) != ".xlsx" {
			f.Add(data[:min(len(data), 1500)], false) // short seeds are changed more often
		} else if len(data) < 12000 {
			f.Add(data, true)
		}
	}
	for _, text := range []string{"", "\ufeff", "Time\n", "\"", "Time,Field (V/m)\n\"2026-11-18T09:00:00Z,1\n", "a\x00b\rc\n",
		"Time;Field (V/m)\n2026-11-18T09:00:00Z;1,5\n2026-11-18T08:00:00Z;1,5\n"} {
		f.Add([]byte(text), false)
	}
}

// source is the fuzzed file under a name that fits.
func source(data []byte, workbook bool) table.Source {
	if workbook {
		return table.Bytes("fuzzed.xlsx", data)
	}
	return table.Bytes("fuzzed.csv", data)
}

// fuzzed is how every record is read.
var fuzzed = Settings{Zone: time.UTC}

// checkFile demands of every record that was read that its counts and rows can be.
func checkFile(t *testing.T, data []byte, workbook bool, file *File, rows []int32) {
	t.Helper()
	require.Equal(t, file.RowsRead, len(rows), "every row that was read is there")
	lines := int32(bytes.Count(data, []byte{'\n'}) + bytes.Count(data, []byte{'\r'}) + 1)
	for _, row := range rows {
		require.Positive(t, row)
		if !workbook && !bytes.HasPrefix(data, []byte("PK")) {
			require.LessOrEqual(t, row, lines, "a row of the file")
		}
	}
	unread := 0
	for _, p := range file.Problems {
		if p.Kind == Unreadable || p.Kind == NoValue {
			unread++
		}
		require.NotContains(t, p.Reason.String(), "\x00")
	}
	require.Equal(t, file.RowsUnread, unread, "every row that was not read says why")
}

func FuzzReadProbeLog(f *testing.F) {
	seeds(f, "probe/*")
	f.Fuzz(func(t *testing.T, data []byte, workbook bool) {
		log, err := ReadProbeLog(source(data, workbook), table.Entry{FrequencyResolution: quantity.Undefined[quantity.Frequency]()}, fuzzed)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		n := len(log.Times)
		require.Positive(t, n, "a log of which nothing can be read is an error")
		require.Len(t, log.Readings, n)
		require.Len(t, log.Faults, n)
		checkFile(t, data, workbook, &log.File, readRows(log))
		checkKept(t, log)
		readBack(t, data, workbook, log)
		for i := range n {
			require.Equal(t, log.Faults[i] == NoReading, math.IsNaN(float64(log.Readings[i])) && log.Faults[i] != Marked, "a reading is a field, or says why it is none")
			require.False(t, log.Readings[i] < 0, "no reading is below zero")
			require.True(t, i == 0 || log.Times[i] >= log.Times[i-1], "sorted by time")
		}
		for _, b := range log.Repeats {
			require.GreaterOrEqual(t, b.Last-b.First, 9)
			require.Less(t, b.Last, n)
		}
	})
}

// readRows returns the rows of a log whose reading was read, or stands there as a
// mark of overload: the others keep their time and count as unread.
func readRows(log *ProbeLog) []int32 {
	var rows []int32
	for i, row := range log.Rows {
		if log.Faults[i] != NoReading {
			rows = append(rows, row)
		}
	}
	return rows
}

// checkKept demands that every row which keeps its time without a reading says why.
func checkKept(t *testing.T, log *ProbeLog) {
	t.Helper()
	said := map[int]bool{}
	for _, p := range log.File.Problems {
		said[p.Row] = said[p.Row] || p.Kind == NoValue
	}
	for i, row := range log.Rows {
		if log.Faults[i] == NoReading {
			require.True(t, said[int(row)], "row %d has no reading and does not say why", row)
		}
	}
}

// writtenPlainly is a number of digits and one decimal point, which the standard
// library knows too.
var writtenPlainly = regexp.MustCompile(`^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)$`)

// readBack looks up every value that was read in its place in the file, and reads
// it there with the standard library: fields in V/m and times of RFC 3339. What
// is written in another way is left to the tables of tests.
func readBack(t *testing.T, data []byte, workbook bool, log *ProbeLog) {
	t.Helper()
	look, err := LookAt(source(data, workbook), table.Entry{FrequencyResolution: quantity.Undefined[quantity.Frequency]()}, fuzzed, KindProbeLog)
	require.NoError(t, err)
	require.Empty(t, look.Problems)
	field, at := -1, -1
	for i, c := range look.Columns {
		switch {
		case c.Quantity == string(table.Field) && c.Unit == "V/m":
			field = i
		case c.Quantity == string(table.Time):
			at = i
		}
	}
	cells := cellsOf(t, source(data, workbook), look.Delimiter)
	for i, row := range log.Rows {
		if log.Faults[i] == NoReading {
			continue
		}
		if text := cellAt(cells[int(row)], field); writtenPlainly.MatchString(strings.Replace(text, string(look.Decimal), ".", 1)) {
			want, err := strconv.ParseFloat(strings.Replace(text, string(look.Decimal), ".", 1), 64)
			require.NoError(t, err)
			require.Equal(t, want, float64(log.Readings[i]), "row %d", row)
		}
		if want, err := time.Parse(time.RFC3339Nano, cellAt(cells[int(row)], at)); err == nil && !workbook {
			require.Equal(t, want.UnixNano(), int64(log.Times[i]), "row %d", row)
		}
	}
}

// cellsOf returns the cells of every row by its number.
func cellsOf(t *testing.T, src table.Source, delimiter rune) map[int][][]byte {
	t.Helper()
	f, err := table.Open(src, table.Entry{})
	require.NoError(t, err)
	defer f.Close()
	cells := map[int][][]byte{}
	require.NoError(t, table.Read(f, delimiter, 0, copyRows, func(rows []table.Row) {
		for _, row := range rows {
			cells[row.Number] = row.Cells
		}
	}))
	return cells
}

func cellAt(cells [][]byte, i int) string {
	if i < 0 || i >= len(cells) {
		return ""
	}
	return string(cells[i])
}

func FuzzReadPowerFile(f *testing.F) {
	seeds(f, "power/*")
	f.Fuzz(func(t *testing.T, data []byte, workbook bool) {
		power, err := ReadPowerFile(source(data, workbook), table.Entry{FrequencyResolution: quantity.Undefined[quantity.Frequency]()}, fuzzed)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		checkFile(t, data, workbook, &power.File, power.Rows)
		require.Len(t, power.Forward, len(power.Rows))
		require.True(t, power.Times != nil || power.Frequencies != nil)
		for _, p := range power.Forward {
			require.GreaterOrEqual(t, float64(p), 0.0)
		}
	})
}

func FuzzReadDwellRecord(f *testing.F) {
	seeds(f, "dwell/*")
	f.Fuzz(func(t *testing.T, data []byte, workbook bool) {
		dwell, err := ReadDwellRecord(source(data, workbook), table.Entry{FrequencyResolution: quantity.Undefined[quantity.Frequency]()}, fuzzed)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		var rows []int32
		for _, v := range dwell.Visits {
			rows = append(rows, int32(v.Row))
			require.Greater(t, float64(v.Frequency), 0.0)
			require.GreaterOrEqual(t, v.End, v.Start, "no visit ends before it begins")
		}
		checkFile(t, data, workbook, &dwell.File, rows)
		require.GreaterOrEqual(t, float64(dwell.Resolution), 0.0)
	})
}

func FuzzReadCorrection(f *testing.F) {
	seeds(f, "corrections/*")
	f.Fuzz(func(t *testing.T, data []byte, workbook bool) {
		table, err := ReadCorrection(source(data, workbook), table.Entry{FrequencyResolution: quantity.Undefined[quantity.Frequency]()}, fuzzed, OfField)
		if err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		for i, p := range table.Points {
			require.True(t, i == 0 || p.Frequency > table.Points[i-1].Frequency, "ascending, each frequency once")
			require.False(t, math.IsNaN(float64(p.Factor)) || math.IsInf(float64(p.Factor), 0))
		}
	})
}

func FuzzReadOthers(f *testing.F) {
	seeds(f, "equipment.xlsx")
	seeds(f, "dwell/*motion*")
	f.Fuzz(func(t *testing.T, data []byte, workbook bool) {
		entry := table.Entry{FrequencyResolution: quantity.Undefined[quantity.Frequency]()}
		if motion, err := ReadMotionRecord(source(data, workbook), entry, fuzzed); err == nil {
			for _, m := range motion.Motions {
				require.GreaterOrEqual(t, m.End, m.Start)
			}
		}
		if register, err := ReadRegister(source(data, workbook), entry, fuzzed); err == nil {
			for _, a := range register.Assets {
				require.NotEmpty(t, a.Name)
			}
		}
		if look, err := LookAt(source(data, workbook), entry, fuzzed, AnyKind); err == nil {
			require.NotEmpty(t, look.Kind)
		}
	})
}
