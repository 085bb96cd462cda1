package jobsheet

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/quantity"
	"fieldheld/ingest/table"
)

var update = flag.Bool("update", false, "write the golden files anew")

// smallest is a sheet with the required keys only. Tests replace parts of it.
const smallest = `[report]
time_zone = "Europe/Oslo"
[article]
name = "winch controller"
[requirement]
profile = "some-profile"
[[run]]
id = "H1"
polarization = "horizontal"
dwell = { file = "dwell/h1.csv" }
[[run.probe]]
file = "probe/h1.csv"
`

func TestTheSmallestSheet(t *testing.T) {
	s, err := Parse([]byte(smallest), "job.toml")
	require.NoError(t, err)
	assert.EqualValues(t, 1, s.Runs[0].Position)
	assert.Equal(t, "A4", s.Report.Page)
	assert.Nil(t, s.Runs[0].Power)
	assert.False(t, quantity.Defined(s.Runs[0].ForwardMax))
	assert.Equal(t, "probe/h1.csv", s.Runs[0].Probes[0].Log.File)
	assert.Equal(t, 10, s.Runs[0].Dwell.Place.Row)
}

func TestEveryKeyOfAFileEntry(t *testing.T) {
	sheet := strings.Replace(smallest, `dwell = { file = "dwell/h1.csv" }`, `dwell = { file = "dwell/h1.xlsx", sheet = "Dwell",
  clock_offset = "-2.4 s", time_zone = "UTC", delimiter = "\t", decimal = ",", header_row = 12,
  frequency_resolution = "10 kHz", columns = { start = "Beginn", end = "Ende" }, units = { frequency = "kHz" },
  time_format = "02.01.2006 15:04:05.000", start = 2026-11-18T09:00:00 }`, 1)
	s, err := Parse([]byte(sheet), "job.toml")
	require.NoError(t, err)
	e := s.Runs[0].Dwell
	e.Place.Row = 0
	e.Place.Key = ""
	assert.Equal(t, table.Entry{Place: e.Place, File: "dwell/h1.xlsx", Sheet: "Dwell", ClockOffset: -2400 * time.Millisecond, Zone: time.UTC,
		Delimiter: '\t', Decimal: ',', HeaderRow: 12, FrequencyResolution: 10e3,
		Columns: map[table.Column]string{table.Start: "Beginn", table.End: "Ende"}, Numbers: map[table.Column]int{}, Units: map[table.Column]string{table.Frequency: "kHz"},
		TimeFormat: "02.01.2006 15:04:05.000", Start: time.Date(2026, 11, 18, 9, 0, 0, 0, time.UTC)}, e)
}

// TestBadSheets compares the messages about bad sheets with a golden file, word
// for word. Each case replaces one part of the smallest sheet.
func TestBadSheets(t *testing.T) {
	var golden strings.Builder
	for _, test := range []struct{ name, old, new string }{
		{"syntax", `id = "H1"`, `id = "H1`},
		{"a key given twice", `id = "H1"`, "id = \"H1\"\nid = \"H2\""},
		{"unknown key", `id = "H1"`, "id = \"H1\"\npolarisation = \"horizontal\""},
		{"unknown table", `[article]`, "[artikle]\n[article]"},
		{"missing keys", `time_zone = "Europe/Oslo"`, ``},
		{"missing tables", "[requirement]\nprofile = \"some-profile\"", ``},
		{"bare number", `id = "H1"`, "id = \"H1\"\nforward_max = 2500"},
		{"no unit", `id = "H1"`, "id = \"H1\"\nforward_max = \"2500\""},
		{"unit in the wrong case", `id = "H1"`, "id = \"H1\"\nforward_max = \"2500 MW\""},
		{"no number", `name = "winch controller"`, "name = \"winch controller\"\nresponse_time = \"soon\""},
		{"negative duration", `name = "winch controller"`, "name = \"winch controller\"\nresponse_time = \"-2 s\""},
		{"text for a number", `id = "H1"`, "id = \"H1\"\nposition = \"1\""},
		{"position zero", `id = "H1"`, "id = \"H1\"\nposition = 0"},
		{"part of a position", `id = "H1"`, "id = \"H1\"\nposition = 1.5"},
		{"wrong word", `polarization = "horizontal"`, `polarization = "horizontl"`},
		{"unknown time zone", `"Europe/Oslo"`, `"Europe/Olso"`},
		{"date in quotation marks", `time_zone =`, "issued = \"2026-11-20\"\ntime_zone ="},
		{"revision without reason", `time_zone =`, "revision = 1\ntime_zone ="},
		{"profile and file", `profile = "some-profile"`, "profile = \"some-profile\"\nfile = \"r.toml\""},
		{"neither profile nor file", `profile = "some-profile"`, ``},
		{"path up", `probe/h1.csv`, `../h1.csv`},
		{"absolute path", `probe/h1.csv`, `/data/h1.csv`},
		{"path with a drive", `probe/h1.csv`, `C:/data/h1.csv`},
		{"path with backslashes up", `"probe/h1.csv"`, `'..\h1.csv'`},
		{"list for a table", `dwell = { file = "dwell/h1.csv" }`, `dwell = ["dwell/h1.csv"]`},
		{"entry without a file", `dwell = { file = "dwell/h1.csv" }`, `dwell = { sheet = "H1" }`},
		{"unknown column", `dwell = { file = "dwell/h1.csv" }`, `dwell = { file = "d.csv", columns = { beginn = "B" } }`},
		{"two characters", `dwell = { file = "dwell/h1.csv" }`, `dwell = { file = "d.csv", delimiter = ";;" }`},
		{"decimal mark", `dwell = { file = "dwell/h1.csv" }`, `dwell = { file = "d.csv", decimal = ";" }`},
		{"modulation", `id = "H1"`, "id = \"H1\"\nmodulation = \"pulse 1 kHz\""},
		{"range upside down", `file = "probe/h1.csv"`, "file = \"probe/h1.csv\"\nrange = [\"800 V/m\", \"0.5 V/m\"]"},
		{"range of one", `file = "probe/h1.csv"`, "file = \"probe/h1.csv\"\nrange = [\"800 V/m\"]"},
		{"unknown tuning", `id = "H1"`, "id = \"H1\"\ntuning = \"T-H\""},
		{"deviation for an unknown check", `[article]`, "[[deviation]]\ncovers = [\"stepsize\"]\nrun = \"h1\"\nreason = \"r\"\nagreed_by = \"a\"\n[article]"},
		{"deviation backwards", `[article]`, "[[deviation]]\ncovers = [\"level\"]\nfrom = \"91 MHz\"\nto = \"88 MHz\"\nreason = \"r\"\nagreed_by = \"a\"\n[article]"},
		{"deviation without a range", `[article]`, "[[deviation]]\ncovers = [\"step-size\", \"level\"]\nfrom = \"88 MHz\"\nreason = \"r\"\nagreed_by = \"a\"\n[article]"},
		{"least level of nothing", `[article]`, "[[deviation]]\ncovers = [\"step-size\"]\nlevel_min = \"46.5 V/m\"\nreason = \"r\"\nagreed_by = \"a\"\n[article]"},
		{"contribution of nothing", `[article]`, "[uncertainty]\n[[uncertainty.contribution]]\nname = \"probe\"\nvalue = \"0 dB\"\n[article]"},
		{"half a degree of freedom", `[article]`, "[uncertainty]\n[[uncertainty.contribution]]\nname = \"probe\"\nvalue = \"1 dB\"\ndegrees_of_freedom = 0.5\n[article]"},
		{"a contribution stated twice for a range", `[article]`, "[uncertainty]\n[[uncertainty.contribution]]\nname = \"probe\"\nvalue = \"1 dB\"\nto = \"90 MHz\"\n[[uncertainty.contribution]]\nname = \"probe\"\nvalue = \"2 dB\"\nfrom = \"80 MHz\"\n[article]"},
		{"an annex without a title", `[article]`, "[[annex]]\nfile = \"a.pdf\"\n[article]"},
		{"an annex outside the folder", `[article]`, "[[annex]]\nfile = \"../a.pdf\"\ntitle = \"A\"\n[article]"},
		{"a witness without a name", `[article]`, "[[witness]]\norganisation = \"Orrevik\"\n[article]"},
		{"a witness who left before coming", `[article]`, "[[witness]]\nname = \"I. Orrevik\"\nfrom = 2026-11-18T10:30:00\nto = 2026-11-18T10:29:00\n[article]"},
		{"a logo outside the folder", `time_zone =`, "logo = \"/logo.png\"\ntime_zone ="},
		{"asset twice", `[article]`, "[[equipment]]\nasset = \"FP-03\"\nrole = \"field probe\"\n[[equipment]]\nasset = \"FP-03\"\nrole = \"field probe\"\n[article]"},
		{"no calibration without reason", `[article]`, "[[equipment]]\nasset = \"FP-03\"\nrole = \"field probe\"\ncalibration = \"not required\"\n[article]"},
		{"control character", `"winch controller"`, `"winch\u001b[2Jcontroller"`},
		{"mark that turns the direction", `"winch controller"`, `"winch \u202Erellortnoc"`},
		{"name over two lines", `"winch controller"`, `"winch\n[#] signature holds"`},
		{"name that nobody can show", `"winch controller"`, `"` + strings.Repeat("winch ", 40) + `"`},
		{"text that no page holds", `[article]`, "[site]\nnotes = \"" + strings.Repeat("word ", 2000) + "\"\n[article]"},
		{"date that cannot be", `[article]`, "[plan]\ndate = 0000-01-01\n[article]"},
		{"zone without a name", `time_zone = "Europe/Oslo"`, `time_zone = ""`},
		{"name of a device", `dwell = { file = "dwell/h1.csv" }`, `dwell = { file = "dwell/con.csv" }`},
		{"stream of a file", `dwell = { file = "dwell/h1.csv" }`, `dwell = { file = "dwell/h1.csv:hidden" }`},
		{"name that ends in a point", `dwell = { file = "dwell/h1.csv" }`, `dwell = { file = "dwell./h1.csv" }`},
		{"path of a device", `dwell = { file = "dwell/h1.csv" }`, `dwell = { file = '\\.\PhysicalDrive0' }`},
		{"two low-level records for one cell", `[article]`, "[[forecast]]\nfile = \"a.csv\"\npolarization = \"vertical\"\n[[forecast]]\nfile = \"b.csv\"\nposition = 2\n[article]"},
		{"a forecast without a record", `[article]`, "[forecast]\nforward_max = \"2500 W\"\n[article]"},
		{"a date of the plan in quotation marks", `[article]`, "[plan]\ndate = \"2026-11-18\"\n[article]"},
		{"neither runs nor days", smallest[strings.Index(smallest, "[[run]]"):], ""},
		{"days and runs", `[article]`, "[[day]]\nfolder = \"2026-11-18\"\n[[day]]\nfolder = \"2026-11-18/\"\n[[day]]\n[article]"},
		{"two probes of a place at one moment", `file = "probe/h1.csv"`, "file = \"a.csv\"\nto = 2026-11-18T10:30:01\n[[run.probe]]\nfile = \"b.csv\"\nfrom = 2026-11-18T10:30:00"},
		{"a probe that goes before it comes", `file = "probe/h1.csv"`, "file = \"a.csv\"\nfrom = 2026-11-18T10:30:00\nto = 2026-11-18T10:29:00"},
		{"a purpose that is none", `id = "H1"`, "id = \"H1\"\npurpose = \"serach\""},
		{"several at once", `polarization = "horizontal"`, "polarization = 1\npositon = 2\nforward_max = 10"},
	} {
		sheet := strings.Replace(smallest, test.old, test.new, 1)
		require.NotEqual(t, smallest, sheet, test.name)
		_, err := Parse([]byte(sheet), "job.toml")
		require.Error(t, err, test.name)
		fmt.Fprintf(&golden, "== %s\n%s\n\n", test.name, err)
	}
	path := filepath.Join("testdata", "bad-sheets.txt")
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(golden.String()), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	// Line by line, so that a failure shows the line and not the whole file.
	wanted := strings.Split(strings.ReplaceAll(string(want), "\r\n", "\n"), "\n")
	for i, line := range strings.Split(golden.String(), "\n") {
		require.Less(t, i, len(wanted))
		require.Equal(t, wanted[i], line, "%s, line %d", path, i+1)
	}
}

// TestDeviationsThatMayReachFar reads entries of which the field itself does not
// hang, and one that says where the field was not shown.
func TestDeviationsThatMayReachFar(t *testing.T) {
	for _, entry := range []string{`covers = ["step-size", "coverage", "calibration", "position"]`,
		"covers = [\"level\", \"dwell\"]\nfrom = \"88 MHz\"\nto = \"88 MHz\"\nlevel_min = \"46.5 V/m\""} {
		text := strings.Replace(smallest, "[article]", "[[deviation]]\n"+entry+"\nreason = \"r\"\nagreed_by = \"a\"\n[article]", 1)
		sheet, err := Parse([]byte(text), "job.toml")
		require.NoError(t, err, entry)
		require.Len(t, sheet.Deviations, 1)
	}
}

// TestPlanningNeedsLess reads sheets that are enough for a plan and not for an
// evaluation.
func TestPlanningNeedsLess(t *testing.T) {
	const article = "[article]\nname = \"winch controller\"\n[requirement]\nprofile = \"some-profile\"\n"
	for _, sheet := range []string{article, article + "[[run]]\nid = \"H1\"\npolarization = \"horizontal\"\nforward_max = \"2500 W\"\n"} {
		s, err := ParseFor(Planning, []byte(sheet), "job.toml")
		require.NoError(t, err)
		assert.Equal(t, time.UTC, s.Report.Zone)
		_, err = Parse([]byte(sheet), "job.toml")
		require.Error(t, err)
		assert.Contains(t, err.Error(), "report: this key is needed and missing")
	}
	_, err := ParseFor(Planning, []byte("[article]\nname = \"winch controller\"\n"), "job.toml")
	require.Error(t, err)
	assert.Contains(t, err.Error(), "requirement: this key is needed and missing")
}

func TestForecastsServe(t *testing.T) {
	for _, test := range []struct {
		of   Forecast
		want [4]bool // horizontal 1 and 2, vertical 1 and 2
	}{
		{Forecast{}, [4]bool{true, true, true, true}},
		{Forecast{Polarization: "vertical"}, [4]bool{false, false, true, true}},
		{Forecast{Position: 2}, [4]bool{false, true, false, true}},
		{Forecast{Polarization: "horizontal", Position: 1}, [4]bool{true, false, false, false}},
	} {
		got := [4]bool{test.of.Serves("horizontal", 1), test.of.Serves("horizontal", 2), test.of.Serves("vertical", 1), test.of.Serves("vertical", 2)}
		assert.Equal(t, test.want, got)
	}
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(smallest))
	days, _ := filepath.Glob("../../testdata/days/*/day/job.toml")
	for _, path := range days {
		data, err := os.ReadFile(path)
		require.NoError(f, err)
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		sheet, err := Parse(data, "job.toml")
		if err == nil {
			assert.Positive(t, len(sheet.Runs)+len(sheet.Days))
		} else {
			assert.NotEmpty(t, err.Error())
		}
	})
}
