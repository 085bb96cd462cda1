package record_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/record"
	"fieldheld/ingest/table"
)

// A row whose reading cannot be had keeps its time, so that no stretch passes over
// it; a mark of overload in the place of the reading is a mark.
func TestRowsWithoutAReadingKeepTheirTime(t *testing.T) {
	for _, test := range []struct {
		cell  string
		fault record.Fault
		noted bool
	}{
		{"0.51", record.NoFault, false}, {"0", record.NoFault, false},
		{"", record.NoReading, true}, {"<1", record.NoReading, true}, {"-3", record.NoReading, true}, {"---", record.NoReading, true},
		{"NaN", record.NoReading, true}, {"ERR", record.NoReading, true}, {"no link", record.NoReading, true}, {"1e999", record.NoReading, true},
		{"OVL", record.Marked, false}, {"OL", record.Marked, false}, {"over", record.Marked, false}, {"***OVERLOAD***", record.Marked, false},
		{"(OverRange)", record.Marked, false},
	} {
		log := readProbe(t, "Time,E-field (V/m)\n2026-11-18T09:00:00Z,0.50\n2026-11-18T09:00:01Z,"+test.cell+"\n2026-11-18T09:00:02Z,0.52\n", table.Entry{})
		require.Len(t, log.Times, 3, test.cell)
		assert.Equal(t, []record.Fault{record.NoFault, test.fault, record.NoFault}, log.Faults, test.cell)
		assert.Equal(t, test.fault == record.NoFault, quantity.Defined(log.Readings[1]), test.cell)
		assert.Equal(t, test.noted, len(problemsOf(log.File, record.NoValue)) == 1, test.cell)
		assert.InDelta(t, 3e9, log.Gap, 1, "its time counts in the gap: %s", test.cell)
		want := 3
		if test.noted {
			want = 2
		}
		assert.Equal(t, want, log.File.RowsRead, test.cell)
		assert.Equal(t, 3-want, log.File.RowsUnread, test.cell)
	}
	log := readProbe(t, "Time,Ex (V/m),Ey (V/m),Ez (V/m)\n2026-11-18T09:00:00Z,3,4,12\n2026-11-18T09:00:01Z,3,OVL,12\n2026-11-18T09:00:02Z,3,4,x\n", table.Entry{})
	assert.Equal(t, []record.Fault{record.NoFault, record.Marked, record.NoReading}, log.Faults, "axes")
	log = readProbe(t, "Time,E-field (V/m)\n2026-11-18T09:00:00Z,0.50\nyesterday,0.51\n", table.Entry{})
	assert.Len(t, log.Times, 1, "without a time there is nothing to keep")
}

// A reading that cannot be had ends a block of one value.
func TestAnUnreadableReadingEndsABlock(t *testing.T) {
	rows := func(cells ...string) string {
		var b strings.Builder
		b.WriteString("Time,E-field (V/m)\n")
		at := time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC)
		for _, cell := range cells {
			b.WriteString(at.Format(time.RFC3339) + "," + cell + "\n")
			at = at.Add(time.Second)
		}
		return b.String()
	}
	same := strings.Split(strings.Repeat("200.1 ", 10), " ")[:10]
	log := readProbe(t, rows(same...), table.Entry{})
	assert.Len(t, log.Repeats, 1)
	log = readProbe(t, rows(append(append([]string{}, same[:9]...), "<1", "200.1")...), table.Entry{})
	assert.Empty(t, log.Repeats, "nine, and one behind the gap")
	log = readProbe(t, rows(append(append([]string{"---"}, same...), "---")...), table.Entry{})
	require.Len(t, log.Repeats, 1)
	assert.Equal(t, [2]int{1, 10}, [2]int{log.Repeats[0].First, log.Repeats[0].Last})
}

// The newest row first: read backwards, with one remark; one row in ten may stand
// otherwise.
func TestNewestFirst(t *testing.T) {
	log := readProbe(t, "Time,E-field (V/m)\n2026-11-18T09:00:03Z,4\n2026-11-18T09:00:02Z,3\n2026-11-18T09:00:01Z,2\n2026-11-18T09:00:00Z,1\n", table.Entry{})
	assert.Equal(t, []quantity.FieldStrength{1, 2, 3, 4}, log.Readings)
	assert.Equal(t, []int32{5, 4, 3, 2}, log.Rows)
	assert.Equal(t, []int{0}, problemsOf(log.File, record.Remark))
	assert.Zero(t, log.File.RowsUnread)

	var b strings.Builder
	b.WriteString("Time,E-field (V/m)\n")
	at := time.Date(2026, 11, 18, 10, 0, 0, 0, time.UTC)
	for i := range 21 {
		stamp := at.Add(-time.Duration(i) * time.Second)
		if i == 10 { // an hour old, in the middle
			stamp = stamp.Add(-time.Hour)
		}
		b.WriteString(stamp.Format(time.RFC3339) + ",1\n")
	}
	log = readProbe(t, b.String(), table.Entry{})
	assert.Equal(t, []int{12}, problemsOf(log.File, record.Unreadable), "the row that goes back, as the log is read")
	assert.Len(t, log.Times, 20)

	log = readProbe(t, "Time,E-field (V/m)\n2026-11-18T09:00:00Z,1\n2026-11-18T09:00:01Z,2\n2026-11-18T09:00:00.5Z,3\n", table.Entry{})
	assert.Empty(t, problemsOf(log.File, record.Remark), "half of the steps is not nine tenths")
}

// Samples of one time stay in the order of the file, which way soever it runs, and
// their number is told; a row that is the one before again is told as that alone.
func TestSamplesOfOneTime(t *testing.T) {
	for name, test := range map[string]struct {
		rows     string
		readings []quantity.FieldStrength
		remark   string
	}{
		"oldest first": {"09:00:00Z,1\n09:00:01Z,2\n09:00:01Z,3\n09:00:02Z,4\n", []quantity.FieldStrength{1, 2, 3, 4}, "1 sample has the time of another one, first in row 4"},
		"newest first": {"09:00:09Z,9\n09:00:08Z,8\n09:00:07Z,7\n09:00:06Z,6\n09:00:05Z,5\n09:00:04Z,4\n09:00:03Z,2\n09:00:03Z,3\n09:00:02Z,1\n09:00:01Z,0\n09:00:00Z,0\n",
			[]quantity.FieldStrength{0, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, "1 sample has the time of another one, first in row 9"},
		"the same row again": {"09:00:00Z,1\n09:00:01Z,2\n09:00:01Z,2\n09:00:02Z,4\n", []quantity.FieldStrength{1, 2, 2, 4}, ""},
	} {
		log := readProbe(t, "Time,E-field (V/m)\n"+strings.ReplaceAll(test.rows, "09:", "2026-11-18T09:"), table.Entry{})
		assert.Equal(t, test.readings, log.Readings, name)
		var remark string
		for _, p := range log.File.Problems {
			if p.Kind == record.Remark && p.Reason.Code == "remark.same-time" {
				remark = p.Reason.String()
			}
		}
		if test.remark == "" {
			assert.Empty(t, remark, name)
		} else {
			assert.Contains(t, remark, test.remark, name)
		}
	}
}

// Rows that go back count in g, and in no figure (evaluation rules, 9).
func TestRowsThatGoBackCountInTheGap(t *testing.T) {
	log := readProbe(t, "Time,E-field (V/m)\n2026-11-18T09:00:00Z,1\n2026-11-18T09:00:10Z,1\n2026-11-18T09:00:20Z,1\n2026-11-18T08:59:15Z,1\n2026-11-18T08:59:16Z,1\n2026-11-18T08:59:17Z,1\n", table.Entry{})
	// Differences in order of time: 1, 1, 43, 10, 10 s; their median is 10 s.
	assert.InDelta(t, 30e9, log.Gap, 1)
	assert.Equal(t, []int{5, 6, 7}, problemsOf(log.File, record.Unreadable))
}

func TestSeveralStatusColumns(t *testing.T) {
	for _, test := range []struct {
		heads, cells string
		bad          bool
	}{
		{"Probe status", "OVERLOAD", true}, {"Probe status", "OK", false}, {"Overloaded", "1", true}, {"Overloaded", "0", false},
		{"Saturated", "1", true}, {"Quality", "OK", false}, {"Warning", "OVL", true}, {"Link fault", "", false}, {"Sensor error", "ERR", true},
		{"OVL X,OVL Y,OVL Z", "0,0,0", false}, {"OVL X,OVL Y,OVL Z", "0,1,0", true}, {"OVL X,OVL Y,OVL Z", "0,0,OVL", true},
		{"Status,Overload", "OK,1", true}, {"Data valid", "1", false}, {"Data valid", "0", true}, {"Invalid", "1", true}, {"Invalid", "0", false},
	} {
		log := readProbe(t, "Time,E-field (V/m),"+test.heads+"\n2026-11-18T09:00:00Z,0.51,"+test.cells+"\n", table.Entry{})
		assert.Equal(t, test.bad, log.Faults[0] == record.Marked, "%s: %s", test.heads, test.cells)
		assert.Empty(t, log.File.Problems, "%s: %s", test.heads, test.cells)
	}
}

// A column that nobody knows is not passed over when it holds marks of overload.
func TestMarksInAColumnThatIsNotReadAreAsked(t *testing.T) {
	read := func(entry table.Entry, cell string) error {
		_, err := record.ReadProbeLog(table.Bytes("probe/h1.csv", []byte("Time,E-field (V/m),Hint\n2026-11-18T09:00:00Z,0.51,\n2026-11-18T09:00:01Z,0.52,"+cell+"\n")), entry, record.Settings{})
		return err
	}
	err := read(table.Entry{}, "OVL")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "probe/h1.csv, row 3, column Hint: a column that is not read holds a mark of overload")
	assert.Contains(t, err.Error(), `columns = { status = "Hint" }`)
	assert.NoError(t, read(table.Entry{}, "door opened"))
	assert.NoError(t, read(table.Entry{Columns: map[table.Column]string{table.Status: "Hint"}}, "OVL"))
}

// The resolution of frequencies that a log or a power file writes.
func TestResolutionOfLogs(t *testing.T) {
	log := readProbe(t, "Time,E-field (V/m),Frequency (MHz)\n2026-11-18T09:00:00Z,0.51,30.1\n2026-11-18T09:00:01Z,0.51,\n2026-11-18T09:00:02Z,0.51,30.25\n", table.Entry{})
	assert.InDelta(t, 10e3, float64(log.Resolution), 1e-6)
	log = readProbe(t, "Time,E-field (V/m)\n2026-11-18T09:00:00Z,0.51\n", table.Entry{FrequencyResolution: quantity.Undefined[quantity.Frequency]()})
	assert.Zero(t, log.Resolution)
	power, err := record.ReadPowerFile(table.Bytes("p.csv", []byte("Time,Frequency (kHz),Forward (W)\n2026-11-18T09:00:00Z,30000,5\n")), table.Entry{}, record.Settings{})
	require.NoError(t, err)
	assert.Equal(t, quantity.Frequency(1e3), power.Resolution)
}

// Durations of a workbook are parts of a day where the cells are times; a plain
// number without a unit is a question.
func TestDurationsOfWorkbooks(t *testing.T) {
	book := func(value any, format string) []byte {
		f := excelize.NewFile()
		defer f.Close()
		require.NoError(t, f.SetSheetRow("Sheet1", "A1", &[]any{"Frequency (MHz)", "Start", "Dwell"}))
		require.NoError(t, f.SetSheetRow("Sheet1", "A2", &[]any{30, "2026-11-18T09:00:00Z", value}))
		if format != "" {
			style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
			require.NoError(t, err)
			require.NoError(t, f.SetCellStyle("Sheet1", "C2", "C2", style))
		}
		data, err := f.WriteToBuffer()
		require.NoError(t, err)
		return data.Bytes()
	}
	for _, format := range []string{"h:mm:ss", "[s]", "mm:ss.0"} {
		dwell, err := record.ReadDwellRecord(table.Bytes("d.xlsx", book(4.0/86400, format)), table.Entry{}, record.Settings{})
		require.NoError(t, err, format)
		assert.Equal(t, 4*time.Second, dwell.Visits[0].End.Sub(dwell.Visits[0].Start), format)
	}
	_, err := record.ReadDwellRecord(table.Bytes("d.xlsx", book(4.0, "")), table.Entry{}, record.Settings{})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "the column has no unit")
	dwell, err := record.ReadDwellRecord(table.Bytes("d.xlsx", book("0:00:04", "")), table.Entry{}, record.Settings{})
	require.NoError(t, err, "as text")
	assert.Equal(t, 4*time.Second, dwell.Visits[0].End.Sub(dwell.Visits[0].Start))
	_, err = record.ReadDwellRecord(table.Bytes("d.csv", []byte("Frequency (MHz),Start,Dwell\n30,2026-11-18T09:00:00Z,4\n")), table.Entry{}, record.Settings{})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "the column has no unit")
}

// What a correction without a unit means is told by its word, or asked.
func TestCorrectionsWithoutAUnit(t *testing.T) {
	for head, plain := range map[string]bool{"Factor": true, "Correction factor": true, "Korrekturfaktor": true, "Facteur": true, "Probe factor": true,
		"Correction": false, "Korrektur": false} {
		c, err := record.ReadCorrection(table.Bytes("c.csv", []byte("Frequency (MHz),"+head+"\n30,1.2\n200,1.3\n")), table.Entry{}, record.Settings{}, record.OfField)
		if !plain {
			require.Error(t, err, head)
			assert.Contains(t, err.Error(), "the column has no unit", head)
			continue
		}
		require.NoError(t, err, head)
		assert.InDelta(t, 20*math.Log10(1.2), float64(c.Points[0].Factor), 1e-12, head)
	}
}

// An asset that stands twice in the register with two calibrations counts in
// neither, and its rows are known.
func TestAssetsWithTwoCalibrations(t *testing.T) {
	register, err := record.ReadRegister(table.Bytes("r.csv", []byte("Asset,Description,Calibrated,Due\nFP-03,field probe,2025-03-02,2026-03-02\nFP-03,field probe,2026-03-02,2027-03-02\nPA-02,amplifier,,\n")), table.Entry{}, record.Settings{})
	require.NoError(t, err)
	require.Len(t, register.Assets, 1)
	assert.Equal(t, map[string][]int{"fp-03": {2, 3}}, register.Conflicts)
}
