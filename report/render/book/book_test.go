package book_test

import (
	"archive/zip"
	"bytes"
	"io"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"fieldheld/report/render/book"
)

func workbookSheets() []book.Sheet {
	return []book.Sheet{
		{Name: "Register", Heading: true, Widths: []float64{12, 30}, Rows: [][]any{
			{"asset", "=1+1", "+47", "-3", "@home"},
			{1, 0.1234567890123, nil, time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)},
			{time.Date(2026, 11, 18, 8, 0, 0, 125e6, time.FixedZone("", 3600)), 1e-7},
		}},
		{Name: "H1", Rows: [][]any{{"Frequency (MHz)"}, {30.0}}},
		{Name: "V1", Rows: [][]any{{"Frequency (MHz)"}, {31.5}}},
	}
}

func TestWorkbookKeepsWhatWasWritten(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, book.Write(&out, workbookSheets()))
	file, err := excelize.OpenReader(&out)
	require.NoError(t, err)
	defer file.Close()
	assert.Equal(t, []string{"Register", "H1", "V1"}, file.GetSheetList())

	for cell, want := range map[string]string{
		"A1": "asset", "B1": "=1+1", "C1": "+47", "D1": "-3", "E1": "@home",
		"A2": "1", "B2": "0.1234567890123", "C2": "", "D2": "46083", "B3": "0.0000001",
	} {
		got, err := file.GetCellValue("Register", cell, excelize.Options{RawCellValue: true})
		require.NoError(t, err)
		assert.Equal(t, want, got, cell)
		formula, err := file.GetCellFormula("Register", cell)
		require.NoError(t, err)
		assert.Empty(t, formula, cell)
	}
	raw, err := file.GetCellValue("Register", "A3", excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	serial, err := strconv.ParseFloat(raw, 64)
	require.NoError(t, err)
	// 46344 is 18 November 2026; the library's own conversion drops the milliseconds.
	assert.InDelta(t, (8*3600+0.125)*1000, (serial-46344)*24*3600*1000, 0.1)
	day, err := file.GetCellValue("Register", "D2")
	require.NoError(t, err)
	assert.Equal(t, "2026-03-02", day)
}

func TestWorkbookIsReproducible(t *testing.T) {
	var first bytes.Buffer
	require.NoError(t, book.Write(&first, workbookSheets()))
	for range 5 {
		var again bytes.Buffer
		require.NoError(t, book.Write(&again, workbookSheets()))
		assert.Equal(t, first.Bytes(), again.Bytes())
	}
}

func TestWorkbookRefusesWhatItCannotHold(t *testing.T) {
	var out bytes.Buffer
	require.Error(t, book.Write(&out, nil))
	err := book.Write(&out, []book.Sheet{{Name: "a", Rows: [][]any{{"x"}, {1, true}}}})
	require.ErrorContains(t, err, `sheet "a": row 2, column 2`)
	require.Error(t, book.Write(&out, []book.Sheet{{Name: "a/b"}}))
}

// dressed is a workbook with everything that a sheet can have.
func dressed() []book.Sheet {
	steps := book.Sheet{Name: "Steps", Heading: true, Filter: true, Frozen: 2, Widths: []float64{12, 14, 40},
		Formats: []string{"0.000", "+0.00;-0.00;0.00"}, Wrapped: []bool{false, false, true},
		Rows: [][]any{{"Frequency (MHz)", "Margin (dB)", "Finding"}, {30.0, 0.31, "=HYPERLINK(1)"}, {35.5, -0.004, "a long text"}, {41.25, nil, "no margin"}}}
	line := book.Series{Sheet: "Steps", X: 1, Y: 2, First: 2, Last: 4, Colour: "0072B2"}
	dashed := line
	dashed.Dashed = true
	return []book.Sheet{steps, {Name: "Plots", Charts: []book.Chart{
		{Title: "Margin", XTitle: "frequency in MHz", YTitle: "dB", XFrom: 30, XTo: 200, Series: []book.Series{line, dashed}},
		{Title: "Wide", XFrom: 10, XTo: 1000, Logarithmic: true, Row: book.ChartRows, Series: []book.Series{line}},
	}}}
}

// part returns a part of a packed workbook.
func part(t *testing.T, packed []byte, name string) string {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(packed), int64(len(packed)))
	require.NoError(t, err)
	file, err := archive.Open(name)
	require.NoError(t, err)
	text, err := io.ReadAll(file)
	require.NoError(t, err)
	return string(text)
}

func TestSheetsAreDressed(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, book.Write(&out, dressed()))
	packed := out.Bytes()
	file, err := excelize.OpenReader(bytes.NewReader(packed))
	require.NoError(t, err)
	defer file.Close()

	panes, err := file.GetPanes("Steps")
	require.NoError(t, err)
	assert.True(t, panes.Freeze)
	assert.Equal(t, []int{2, 1}, []int{panes.XSplit, panes.YSplit})
	tables, err := file.GetTables("Steps")
	require.NoError(t, err)
	require.Len(t, tables, 1)
	assert.Equal(t, "A1:C4", tables[0].Range)
	for cell, want := range map[string]string{"A2": "30.000", "B2": "+0.31", "B3": "-0.00", "B4": "", "C2": "=HYPERLINK(1)"} {
		got, err := file.GetCellValue("Steps", cell)
		require.NoError(t, err)
		assert.Equal(t, want, got, cell)
	}
	formula, err := file.GetCellFormula("Steps", "C2")
	require.NoError(t, err)
	assert.Empty(t, formula)

	assert.Contains(t, part(t, packed, "xl/worksheets/sheet2.xml"), "<drawing ")
	first, second := part(t, packed, "xl/charts/chart1.xml"), part(t, packed, "xl/charts/chart2.xml")
	assert.Contains(t, first, "<xVal><numRef><f>&#39;Steps&#39;!$A$2:$A$4</f></numRef></xVal>")
	assert.Contains(t, first, "<tx><strRef><f>&#39;Steps&#39;!$B$1</f></strRef></tx>")
	assert.Equal(t, 1, strings.Count(first, "<a:prstDash "))
	assert.Contains(t, first, `<a:srgbClr val="0072B2">`)
	assert.NotContains(t, first, "logBase")
	assert.Equal(t, 1, strings.Count(second, "logBase val"))
	for _, chart := range []string{first, second} {
		assert.NotContains(t, chart, "lblAlgn", "no element of an axis of categories")
	}
}

func TestDressedWorkbookIsReproducible(t *testing.T) {
	var first bytes.Buffer
	require.NoError(t, book.Write(&first, dressed()))
	for range 5 {
		var again bytes.Buffer
		require.NoError(t, book.Write(&again, dressed()))
		assert.Equal(t, first.Bytes(), again.Bytes())
	}
}

func TestWorkbookLosesNoChartInSilence(t *testing.T) {
	sheets := dressed()
	sheets[1].Rows = [][]any{{"a"}}
	require.ErrorContains(t, book.Write(io.Discard, sheets), "a sheet with charts cannot have rows")
}
