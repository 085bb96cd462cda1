package workbook_test

import (
	"bytes"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/render/workbook"
	"fieldheld/templates/demoday"
	"fieldheld/templates/wording"
)

func build(t *testing.T, dir string) *report.Report {
	t.Helper()
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	r, err := report.Build(folder, report.Program{Name: "fieldheld", Version: "test"})
	require.NoError(t, err)
	return r
}

func written(t *testing.T, r *report.Report) []byte {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, workbook.Write(&out, r))
	return out.Bytes()
}

// sheets reads a workbook back: every cell as it is stored, by sheet, row and the
// heading of its column.
func sheets(t *testing.T, packed []byte) map[string][]map[string]string {
	t.Helper()
	file, err := excelize.OpenReader(bytes.NewReader(packed), excelize.Options{RawCellValue: true})
	require.NoError(t, err)
	defer file.Close()
	all := map[string][]map[string]string{}
	for _, name := range file.GetSheetList() {
		rows, err := file.GetRows(name)
		require.NoError(t, err)
		all[name] = []map[string]string{}
		for i := 1; i < len(rows); i++ {
			row := map[string]string{}
			for k, cell := range rows[i] {
				row[rows[0][k]] = cell
			}
			all[name] = append(all[name], row)
		}
	}
	return all
}

// same demands that a cell holds the figure, to the digits of a workbook, or is
// empty where the figure is undefined.
func same[T ~float64](t *testing.T, what string, want T, cell string) {
	t.Helper()
	if math.IsNaN(float64(want)) || math.IsInf(float64(want), 0) {
		assert.Empty(t, cell, what)
		return
	}
	got, err := strconv.ParseFloat(cell, 64)
	if assert.NoError(t, err, what) {
		assert.InEpsilon(t, 1+float64(want), 1+got, 1e-12, what)
	}
}

// TestWorkbookHoldsTheReport compares every step, visit, finding and file of the
// example days and the demo with what the report says.
func TestWorkbookHoldsTheReport(t *testing.T) {
	dirs, err := filepath.Glob("../../../testdata/days/*/day")
	require.NoError(t, err)
	require.NotEmpty(t, dirs)
	demo := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, demoday.Demo().Write(demo))
	for _, dir := range append(dirs, demo) {
		t.Run(filepath.Base(filepath.Dir(dir)), func(t *testing.T) {
			r := build(t, dir)
			all := sheets(t, written(t, r))
			assert.Contains(t, all, "Summary")
			assert.Contains(t, all, "Plots")
			if assert.Len(t, all["Cells"], len(r.Cells)) {
				for i, row := range all["Cells"] {
					assert.Equal(t, r.Cells[i].State.String(), row["State"])
					assert.Equal(t, strconv.Itoa(r.Cells[i].StepsMet), row["Steps met"])
					same(t, "from", r.Cells[i].From/1e6, row["From (MHz)"])
					least := r.Cells[i].Statistics.LeastMargin.Value
					if r.Cells[i].Statistics.NoLevel > 0 {
						least = math.NaN() // that of the other steps is not that of the cell
					}
					same(t, "margin", least, row["Least margin (dB)"])
					assert.Equal(t, strconv.Itoa(r.Cells[i].Statistics.NoLevel), row["Steps without level"])
					assert.Equal(t, r.Why(&r.Cells[i]), row["Open findings"])
				}
			}
			compareSteps(t, r, all["Steps"])
			compareVisits(t, r, all["Visits"])
			if assert.Len(t, all["Findings"], len(r.Findings)) {
				for i, row := range all["Findings"] {
					assert.Equal(t, r.Findings[i].Check, row["Check"])
					assert.Equal(t, r.Findings[i].Message(), row["Finding"])
					assert.Equal(t, string(r.Findings[i].State), row["State"])
				}
			}
			assert.Len(t, all["Repeat"], len(r.Repeat))
			if assert.Len(t, all["Equipment"], len(r.Equipment)) {
				for i, row := range all["Equipment"] {
					assert.Equal(t, r.Equipment[i].Asset, row["Asset"])
				}
			}
			if assert.Len(t, all["Evidence"], len(r.Files)) {
				for i, row := range all["Evidence"] {
					assert.Equal(t, r.Files[i].SHA256, row["SHA-256"])
				}
			}
		})
	}
}

func compareSteps(t *testing.T, r *report.Report, rows []map[string]string) {
	t.Helper()
	n := 0
	for i := range r.Cells {
		for k := range r.Cells[i].Steps {
			s := &r.Cells[i].Steps[k]
			require.Less(t, n, len(rows))
			row := rows[n]
			n++
			assert.Equal(t, strconv.Itoa(i+1), row["Cell"])
			assert.Equal(t, s.State.String(), row["State"])
			same(t, "frequency", s.Frequency/1e6, row["Frequency (MHz)"])
			same(t, "sustained", s.Best.Sustained, row["Sustained (V/m)"])
			same(t, "margin", s.Best.Margin, row["Margin (dB)"])
			same(t, "forward", s.Best.Power.Forward, row["Forward (W)"])
		}
	}
	assert.Len(t, rows, n)
}

func compareVisits(t *testing.T, r *report.Report, rows []map[string]string) {
	t.Helper()
	n := 0
	for i := range r.Runs {
		for _, v := range r.Runs[i].Visits {
			require.Less(t, n, len(rows))
			row := rows[n]
			n++
			assert.Equal(t, r.Runs[i].ID, row["Run"])
			assert.Equal(t, v.State.String(), row["State"])
			same(t, "frequency", v.Frequency()/1e6, row["Frequency (MHz)"])
			same(t, "maximum", v.Maximum, row["Maximum (V/m)"])
			same(t, "held", v.Held, row["Held (s)"])
			same(t, "vswr", v.Power.VSWR, row["VSWR"])
			assert.Equal(t, strconv.Itoa(v.Record.Row), row["Row"])
		}
	}
	assert.Len(t, rows, n)
}

func TestWorkbookIsReproducible(t *testing.T) {
	dir := "../../../testdata/days/e-repeats/day"
	first := written(t, build(t, dir))
	assert.Equal(t, first, written(t, build(t, dir)))
}

// TestTextsStayTexts writes what a spreadsheet program would carry out.
func TestTextsStayTexts(t *testing.T) {
	r := build(t, "../../../testdata/days/d-holes/day")
	for i, text := range []string{"=1+1", "+47", "-3", "@SUM(A1)"} {
		r.Findings[i].Text = wording.Say("event", wording.Values{"faults": []string{text}})
		r.Equipment[0].Description = text
		r.Sheet.Report.Number = text
		packed := written(t, r)
		file, err := excelize.OpenReader(bytes.NewReader(packed))
		require.NoError(t, err)
		for sheet, cell := range map[string]string{"Findings": "I" + strconv.Itoa(i+2), "Equipment": "C2", "Summary": "B1"} {
			formula, err := file.GetCellFormula(sheet, cell)
			require.NoError(t, err)
			assert.Empty(t, formula)
			got, err := file.GetCellValue(sheet, cell)
			require.NoError(t, err)
			assert.Equal(t, text, got)
		}
		require.NoError(t, file.Close())
	}
}

// TestTimesAreThoseOfTheReportsZone finds the first step of the demo at 09:14 in
// Oslo, which is 08:14 UTC.
func TestTimesAreThoseOfTheReportsZone(t *testing.T) {
	demo := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, demoday.Demo().Write(demo))
	file, err := excelize.OpenReader(bytes.NewReader(written(t, build(t, demo))))
	require.NoError(t, err)
	defer file.Close()
	rows, err := file.GetRows("Visits")
	require.NoError(t, err)
	for k, heading := range rows[0] {
		if heading == "Start" {
			assert.Regexp(t, `^2026-11-18 09:14:`, rows[1][k])
			return
		}
	}
	t.Fatal("there is no column Start")
}

// TestProbesThatCombineAreListedOneByOne gives one visit a second probe.
func TestProbesThatCombineAreListedOneByOne(t *testing.T) {
	r := build(t, "../../../testdata/days/a-clean/day")
	assert.NotContains(t, sheets(t, written(t, r)), "Probes", "one probe a run says nothing more")
	v := r.Runs[0].Visits[3]
	second := v.Sources[0]
	second.Asset, second.LowestRow, second.Minimum = "FP-04", 0, second.Minimum*1.1
	v.Sources = append(v.Sources[:1:1], second)
	rows := sheets(t, written(t, r))["Probes"]
	require.Len(t, rows, 2)
	for i, row := range rows {
		assert.Equal(t, v.Sources[i].Asset, row["Probe"])
		same(t, "minimum", v.Sources[i].Minimum, row["Minimum (V/m)"])
		same(t, "maximum", v.Sources[i].Maximum, row["Maximum (V/m)"])
		assert.Equal(t, strconv.Itoa(int(v.Sources[i].Samples)), row["Samples"])
	}
	assert.Equal(t, fmt.Sprintf("row %d", v.Sources[0].LowestRow), rows[0]["Gives the level"])
	assert.Empty(t, rows[1]["Gives the level"])

	document, err := r.JSON()
	require.NoError(t, err)
	assert.Equal(t, 2, strings.Count(string(document), `"visit": 4`), "of that visit alone")
	assert.Equal(t, 1, strings.Count(string(document), `"deciding": true`))
}
