package table_test

import (
	"bytes"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"fieldheld/ingest/table"
)

func workbookSheets() []table.WorkbookSheet {
	return []table.WorkbookSheet{
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
	require.NoError(t, table.WriteWorkbook(&out, workbookSheets()))
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
	require.NoError(t, table.WriteWorkbook(&first, workbookSheets()))
	for range 5 {
		var again bytes.Buffer
		require.NoError(t, table.WriteWorkbook(&again, workbookSheets()))
		assert.Equal(t, first.Bytes(), again.Bytes())
	}
}

func TestWorkbookRefusesWhatItCannotHold(t *testing.T) {
	var out bytes.Buffer
	require.Error(t, table.WriteWorkbook(&out, nil))
	err := table.WriteWorkbook(&out, []table.WorkbookSheet{{Name: "a", Rows: [][]any{{"x"}, {1, true}}}})
	require.ErrorContains(t, err, `sheet "a": row 2, column 2`)
	require.Error(t, table.WriteWorkbook(&out, []table.WorkbookSheet{{Name: "a/b"}}))
}
