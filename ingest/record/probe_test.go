package record_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// problemsOf lists the problems of one kind by their rows.
func problemsOf(f record.File, kind record.RowProblemKind) []int {
	var rows []int
	for _, p := range f.Problems {
		if p.Kind == kind {
			rows = append(rows, p.Row)
		}
	}
	return rows
}

func TestRowsThatGoBack(t *testing.T) {
	row := func(seconds float64) string {
		at := time.Date(2026, 11, 18, 8, 0, 0, 0, time.UTC).Add(time.Duration(seconds * 1e9))
		return at.Format("2006-01-02T15:04:05.000Z") + fmt.Sprintf(",0.%03d\n", int(seconds*10)%1000)
	}
	tests := []struct {
		name    string
		seconds []float64
		maxGap  time.Duration
		gap     float64 // seconds
		back    []int   // rows
		kept    []int32 // rows, sorted by time
	}{
		{"in order", []float64{1, 2, 3, 4}, 0, 3, nil, []int32{2, 3, 4, 5}},
		{"one row, no gap", []float64{1}, 0, 0, nil, []int32{2}},
		{"two rows of one time, no gap", []float64{1, 1}, 0, 0, nil, []int32{2, 3}},
		{"back within the gap: sorted, not lost", []float64{1, 2, 3, 1.5, 4}, 0, 2.25, nil, []int32{2, 5, 3, 4, 6}},
		{"back by more than the gap", []float64{10, 11, 12, 2, 13, 14}, 0, 3, []int{5}, []int32{2, 3, 4, 6, 7}},
		{"many back: against the latest kept row, not the row before", []float64{10, 11, 12, 2, 3, 4, 13, 14, 15, 16}, 0, 3, []int{5, 6, 7}, []int32{2, 3, 4, 8, 9, 10, 11}},
		{"the stated gap decides", []float64{10, 11, 12, 7, 13}, 5 * time.Second, 5, nil, []int32{5, 2, 3, 4, 6}},
		{"a shorter stated gap", []float64{10, 11, 12, 11, 13}, 500 * time.Millisecond, 0.5, []int{5}, []int32{2, 3, 4, 6}},
		{"exactly the gap is not more than it", []float64{10, 11, 12, 9, 13}, 3 * time.Second, 3, nil, []int32{5, 2, 3, 4, 6}},
		{"an even number of differences: the mean of the middle ones", []float64{0, 1, 3}, 0, 4.5, nil, []int32{2, 3, 4}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			data := "Time,E-field (V/m)\n"
			for _, s := range test.seconds {
				data += row(s)
			}
			log, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", []byte(data)), table.Entry{}, record.Settings{MaxGap: test.maxGap})
			require.NoError(t, err)
			assert.InDelta(t, test.gap*1e9, log.Gap, 1e-3)
			assert.Equal(t, test.back, problemsOf(log.File, record.Unreadable))
			assert.Equal(t, test.kept, log.Rows)
			assert.Equal(t, len(test.back), log.File.RowsUnread)
			assert.True(t, slices.IsSorted(log.Times))
		})
	}
}

func TestDuplicateRows(t *testing.T) {
	const head = "Time,E-field (V/m),Status\n"
	tests := []struct {
		name, rows string
		want       []int
	}{
		{"none", "2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:00Z,0.51,0\n", nil},
		{"two", "2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:00Z,0.51,OK\n", []int{3, 4}},
		{"only the row before counts", "2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:01Z,0.51,OK\n2026-11-18T09:00:00Z,0.51,OK\n", nil},
		{"an empty row between", "2026-11-18T09:00:00Z,0.51,OK\n\n2026-11-18T09:00:00Z,0.51,OK\n", []int{4}},
		{"an unreadable row between", "2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:00Z,,OK\n2026-11-18T09:00:00Z,0.51,OK\n", []int{4}},
		{"a row that goes back between", "2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:01Z,0.51,OK\n2026-11-18T08:00:00Z,0.51,OK\n2026-11-18T09:00:01Z,0.51,OK\n2026-11-18T09:00:02Z,0.51,OK\n", []int{5}},
		{"the same numbers written otherwise", "2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:00Z,0.510,OK\n", nil},
		{"blanks around a cell", "2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:00Z, 0.51,OK\n", []int{3}},
		{"quotes around a cell", "2026-11-18T09:00:00Z,0.51,OK\n2026-11-18T09:00:00Z,\"0.51\",OK\n", []int{3}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			log := readProbe(t, head+test.rows, table.Entry{})
			assert.Equal(t, test.want, problemsOf(log.File, record.Duplicate))
		})
	}
}

func TestStatusMarks(t *testing.T) {
	for mark, want := range map[string][2]bool{ // bad, unknown
		"OK": {false, false}, "ok": {false, false}, "0": {false, false}, "": {false, false},
		"1": {true, false}, "OVERLOAD": {true, false}, "ovl": {true, false}, "Invalid": {true, false}, "ERR": {true, false},
		"GOOD": {true, true}, "2": {true, true}, "-": {true, true}, "Übersteuert": {true, true},
	} {
		log := readProbe(t, "Time,E-field (V/m),Status\n2026-11-18T09:00:00Z,0.51,"+mark+"\n", table.Entry{})
		assert.Equal(t, want[0], log.Faults[0] == record.Marked, mark)
		assert.Equal(t, want[1], len(problemsOf(log.File, record.UnknownMark)) == 1, mark)
		assert.Zero(t, log.File.RowsUnread, mark)
	}
}

// TestBlocks holds the blocks of repeating values against their definition.
func TestBlocks(t *testing.T) {
	const n = 400
	random := rand.New(rand.NewPCG(1, 2))
	values := []string{"200.0", "0.000210", "12.34", "0.510", "0.0000", "1234", "200"}
	for round := range 40 {
		var b strings.Builder
		b.WriteString("Time,Ex (V/m),Ey (V/m),Ez (V/m),E-field (V/m)\n")
		at := time.Date(2026, 11, 18, 8, 0, 0, 0, time.UTC)
		cells := [4]string{values[0], values[1], values[2], values[0]}
		type sample struct {
			at    time.Time
			cells [4]string
		}
		var samples []sample
		for range n {
			for i := range cells {
				if random.IntN(12) == 0 {
					cells[i] = values[random.IntN(len(values))]
				}
			}
			at = at.Add(100 * time.Millisecond)
			written := at
			switch {
			case round%4 == 1 && random.IntN(20) == 0:
				written = at.Add(-150 * time.Millisecond) // out of order, within the gap
			case round%4 == 2 && random.IntN(20) == 0:
				written = at.Add(-time.Minute) // goes back too far
			case round%4 == 3 && random.IntN(20) == 0:
				b.WriteString("no sample,,,,\n")
			}
			fmt.Fprintf(&b, "%s,%s,%s,%s,%s\n", written.Format(time.RFC3339Nano), cells[0], cells[1], cells[2], cells[3])
			if at.Sub(written) < time.Second {
				samples = append(samples, sample{written, cells})
			}
		}
		sort.SliceStable(samples, func(i, j int) bool { return samples[i].at.Before(samples[j].at) })
		significant := map[string]bool{"200.0": true, "12.34": true, "1234": true} // 0.000210 and 0.510 have three digits
		var want []record.Block
		for i, name := range []string{"Ex (V/m)", "Ey (V/m)", "Ez (V/m)", "E-field (V/m)"} {
			for first := 0; first < len(samples); {
				last := first
				for last+1 < len(samples) && samples[last+1].cells[i] == samples[first].cells[i] {
					last++
				}
				if significant[samples[first].cells[i]] && last-first+1 >= 10 {
					want = append(want, record.Block{First: first, Last: last, Column: name})
				}
				first = last + 1
			}
		}
		slices.SortStableFunc(want, func(a, b record.Block) int { return a.First - b.First })
		log := readProbe(t, b.String(), table.Entry{})
		require.Len(t, log.Times, len(samples), "round %d", round)
		require.Equal(t, want, log.Repeats, "round %d", round)
	}
}

func TestBlocksOfWorkbooks(t *testing.T) {
	tests := []struct {
		value string
		want  bool
	}{
		{"200", false},     // three digits in the shortest decimal form
		{"200.0", false},   // a binary number has no last zero
		{"200.1", true},    // four
		{"1234", true},     // four
		{"0.1234", true},   // four
		{"0.00021", false}, // two
		{"0", false},
	}
	for _, test := range tests {
		rows := `<row r="1"><c r="A1" t="inlineStr"><is><t>Unix time</t></is></c><c r="B1" t="inlineStr"><is><t>Field (V/m)</t></is></c></row>`
		for i := range 12 {
			rows += fmt.Sprintf(`<row r="%d"><c><v>%d</v></c><c><v>%s</v></c></row>`, i+2, 1794988800+i, test.value)
		}
		log := readProbe(t, book(t, sheet{name: "Log", rows: rows}), table.Entry{})
		if test.want {
			assert.Equal(t, []record.Block{{First: 0, Last: 11, Column: "Field (V/m)"}}, log.Repeats, test.value)
		} else {
			assert.Empty(t, log.Repeats, test.value)
		}
	}
}

// TestLogOfManyChunks holds a log of several megabytes against its rows: numbers,
// times, problems and duplicates, in whatever order the chunks were parsed.
func TestLogOfManyChunks(t *testing.T) {
	const n = 120_000
	var b strings.Builder
	b.WriteString("Probe FP-03\n\nTime,E-field (V/m),Status\n")
	start := time.Date(2026, 11, 18, 8, 0, 0, 0, time.UTC)
	var unread, duplicates, unknown []int
	var rows []int32
	var readings []quantity.FieldStrength
	number, before := 3, ""
	line := func(text string) {
		number++
		b.WriteString(text + "\n")
	}
	for i := range n {
		text := fmt.Sprintf("%s,%d.%03d,OK", start.Add(time.Duration(i)*20*time.Millisecond).Format("2006-01-02T15:04:05.000Z"), i%300, i%1000)
		switch {
		case i%9973 == 5:
			line(strings.Replace(text, ".", "x", 2))
			unread = append(unread, number)
		case i%7919 == 6:
			line("# the door was opened")
		case i%6007 == 7:
			text = strings.Replace(text, "OK", "HOT", 1)
			unknown = append(unknown, number+1)
		case i%5003 == 9 && before != "":
			line(before)
			duplicates = append(duplicates, number)
			rows, readings = append(rows, int32(number)), append(readings, readings[len(readings)-1])
		}
		line(text)
		before = text
		rows = append(rows, int32(number))
		var whole, thousandths int
		_, err := fmt.Sscanf(strings.Split(text, ",")[1], "%d.%d", &whole, &thousandths)
		require.NoError(t, err)
		readings = append(readings, quantity.FieldStrength(float64(whole*1000+thousandths)/1000))
	}
	var first *record.ProbeLog
	for range 3 {
		log := readProbe(t, b.String(), table.Entry{})
		assert.Equal(t, unread, problemsOf(log.File, record.Unreadable))
		assert.Equal(t, duplicates, problemsOf(log.File, record.Duplicate))
		assert.Equal(t, unknown, problemsOf(log.File, record.UnknownMark))
		require.Equal(t, rows, log.Rows)
		require.Equal(t, readings, log.Readings)
		if first == nil {
			first = log
		}
		require.Equal(t, first, log, "the same file gives the same log every time")
	}
}
