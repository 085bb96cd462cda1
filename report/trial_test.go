package report_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/seal/archive"
	"fieldheld/report/seal/audit"
	"fieldheld/report/seal/issue"
)

// A trialDay is what one day of the trial has to give, as an engineer found by hand.
type trialDay struct {
	name     string
	runs     []trialRunFiles
	state    report.DayState
	cells    []string
	findings []string // check, state, run, frequencies in MHz; those of a group as one
	repeat   []string
	article  string
	told     []string // on the pages
	untold   []string
	ofCells  [][]string // checks of the findings that each cell lists
}

// twoProbesRun names the files of a run with the probes of the left and right place.
func twoProbesRun(id string, logs ...trialLog) trialRunFiles {
	name := strings.ToLower(id)
	r := trialRunFiles{id: id, dwell: "dwell/" + name + ".csv", dwellSkip: 1, dwellRune: ',', dwellLayout: "2006-01-02 15:04:05.000",
		purpose: 3, unit: 1e6, mean: true, required: 3 * time.Second, zone: "Europe/Oslo"}
	for _, l := range logs {
		l.correction = "corrections/" + l.file + ".csv"
		l.file = "probe/" + name + "-" + l.file + ".csv"
		l.skip, l.delimiter, l.time, l.field, l.layout, l.factor = 2, ',', []int{0}, []int{1}, "2006-01-02 15:04:05.000", math.Sqrt2
		r.logs = append(r.logs, l)
	}
	return r
}

func civilRun(id string) trialRunFiles {
	name := strings.ToLower(id)
	return trialRunFiles{id: id, dwell: "verweil/" + name + ".csv", dwellSkip: 1, dwellRune: ';', dwellLayout: "02.01.2006 15:04:05,000", unit: 1e6,
		required: time.Second, zone: "Europe/Berlin", logs: []trialLog{{file: "sonde/" + name + ".csv", correction: "korrekturen/fp21.csv", skip: 4,
			delimiter: ';', time: []int{0, 1}, field: []int{2, 3, 4}, bad: "BEREICHSWECHSEL", statusColumn: 5, layout: "02.01.2006 15:04:05,000",
			offset: -time.Hour, factor: 1 / math.Sqrt(1+0.8*0.8/2)}}}
}

func campaignRun(day, id string) trialRunFiles {
	name := strings.ToLower(id)
	return trialRunFiles{id: day + "/" + id, dwell: day + "/dwell/" + name + ".csv", dwellSkip: 1, dwellRune: ',', dwellLayout: "2006-01-02 15:04:05.000",
		purpose: 3, unit: 1e9, required: 2 * time.Second, zone: "Europe/Oslo", logs: []trialLog{{file: day + "/probe/" + name + ".csv",
			correction: day + "/corrections/fp31.csv", skip: 1, delimiter: ',', time: []int{0}, field: []int{1}, layout: "2006-01-02 15:04:05.000", factor: 1.43}}}
}

var trialDays = []trialDay{
	{
		name: "two-probes",
		runs: []trialRunFiles{
			twoProbesRun("H1", trialLog{file: "fp03"}, trialLog{file: "fp04"}),
			twoProbesRun("H1b", trialLog{file: "fp03"}, trialLog{file: "fp04"}),
			twoProbesRun("H2", trialLog{file: "fp03"}, trialLog{file: "fp04"}),
			twoProbesRun("V1", trialLog{file: "fp03", place: "left"}, trialLog{file: "fp04", place: "right", to: "2026-11-18 10:02:00"},
				trialLog{file: "fp05", place: "right", from: "2026-11-18 10:08:00"}),
			twoProbesRun("V2", trialLog{file: "fp03"}, trialLog{file: "fp05"}),
		},
		state: report.Demonstrated,
		cells: []string{"horizontal 1 met 141/141", "horizontal 2 met 141/141", "vertical 1 met 141/141", "vertical 2 met 141/141"},
		findings: []string{
			"level note H2 51.52",
			"record note H1", // two trial rows and the one of the trip
		},
		article: "No susceptibility of the article was observed where the field was shown, from 30 MHz to 60 MHz, horizontal and vertical, at antenna " +
			"positions 1 and 2. One observation was dismissed as no susceptibility; the reason stands in section 10.",
		told: []string{
			"2 positions; up to 200 MHz one for each 3 m of the test setup boundary or part of it",
			"the amplifier PA-02 tripped on over-temperature", "filter of the air inlet cleaned",
			"In run V1 in use from 2026-11-18 09:56:23 UTC+01:00 to 2026-11-18 10:01:12 UTC+01:00.",
			"In run V1 in use from 2026-11-18 10:12:13 UTC+01:00 to 2026-11-18 10:17:06 UTC+01:00.",
			"the field at 51.52 MHz was too low: connector of the antenna cable tightened",
			"Its level is the mean of 2 probes at every moment", "the mean of 2 probes, held for 3 s without a break", "the reason stands below.", "30 MHz 1 GHz 0.5",
			"MIL-STD-461G 5.21.3.5 d", "2 trial, 1 aborted", "Met. 141 of 141 steps met; runs: H1, H1b.", "the mean of their figures has to show the level",
		},
		untold: []string{"How the thresholds were found", "What was done not stated", "1 GHz 40 GHz 0.25"},
	},
	{
		name:  "civil",
		runs:  []trialRunFiles{civilRun("H"), civilRun("V")},
		state: report.NotDemonstrated,
		cells: []string{"horizontal 1 met 255/255", "vertical 1 not met 254/255"},
		findings: []string{
			"level open V 412.754",
			"probe-fault note H 263.81",
			"record note ", "record note ", // the status word of each log
		},
		repeat: []string{"vertical 1 412.754 MHz level"},
		article: "No susceptibility of the article was observed where the field was shown, from 80 MHz to 1 GHz, horizontal, at antenna position 1. " +
			"Nothing is said of the rest: from 80 MHz to 1 GHz, vertical, at antenna position 1 (not met).",
		told: []string{
			"Tallholm EMC Laboratory, Außenstelle Süd", "Weißdornstraße 8, Großenmühl", "J. Müller-Groß", "Fieren mit 0,50 m/s, Strecke „Übung“",
			"Schutzleiter allein, wie im Betrieb; 0,1 Ω gemessen", "Prüfling „WK-3“ auf dem Tisch.", "−3600.000", "AM 1 kHz 80 %",
			"the guarded rule asks for 1.67 dB", "“MESSUNG” in the status says", "Oberschwingungen in der Anzeige",
		},
		untold:  []string{"MIL-STD-461"},
		ofCells: [][]string{{"probe-fault", "record"}, {"level", "record"}}, // each the remark on its own log
	},
	{
		name:  "campaign",
		runs:  []trialRunFiles{campaignRun("2026-11-24", "H"), campaignRun("2026-11-25", "H-again"), campaignRun("2026-11-25", "V")},
		state: report.DemonstratedWithDeviations,
		cells: []string{"horizontal 1 met 302/302", "vertical 1 met with deviations 296/302"},
		findings: []string{
			"level accepted 2026-11-25/V 11951", "level accepted 2026-11-25/V 12070", "level accepted 2026-11-25/V 12190",
			"level accepted 2026-11-25/V 12311", "level accepted 2026-11-25/V 12433", "level accepted 2026-11-25/V 12556",
			"record note 2026-11-24/H", // the rows of the search
		},
		article: "The article did not withstand the required field: one event has a threshold below the limit; see section 10. Nothing is said of the rest: " +
			"6 accepted steps between 11.951 GHz and 12.556 GHz (vertical, position 1). The article was changed during the test " +
			"(2026-11-25 09:10: firmware 4.3 in place of 4.2): what was shown before a change is shown of the article as it was then; see section 5.",
		told: []string{
			"Orrevik, in confidence", "revision 1 (amendment)", "NT-0445, revision 0, of 2026-11-27", "7 threshold", "Observed: drum speed off by 6 %",
			"at least 46 V/m", "The article was changed: firmware 4.3 in place of 4.2.", "no: below the limit",
			"9 steps were visited more than once without a failure", "Verdict on the day: demonstrated with deviations instead of not demonstrated.",
			"Cell vertical, position 1, 1 to 18 GHz: met with deviations", "Behaviour of the article: said otherwise, see section 2.",
			"To be repeated Nothing. Rows that are no test steps", "one event has a threshold below the limit; see below.", "How the thresholds were found",
		},
	},
}

// TestTrialFields compares the sustained field of every visit with what the plain
// routine finds in the written records.
func TestTrialFields(t *testing.T) {
	for _, day := range trialDays {
		t.Run(day.name, func(t *testing.T) {
			dir := filepath.Join(trialDir, day.name)
			r := build(t, dir)
			require.Len(t, r.Runs, len(day.runs))
			undefined := 0
			for i, files := range day.runs {
				run := &r.Runs[i]
				require.Equal(t, files.id, run.ID)
				frequencies, sustained := files.recompute(t, dir)
				require.Len(t, run.Visits, len(sustained))
				for k, v := range run.Visits {
					assert.InEpsilon(t, frequencies[k], float64(v.Frequency()), 1e-9, "%s, visit %d", run.ID, k+1)
					if math.IsNaN(sustained[k]) {
						undefined++
						assert.True(t, math.IsNaN(float64(v.Sustained)), "%s, visit %d", run.ID, k+1)
						continue
					}
					assert.InEpsilon(t, sustained[k], float64(v.Sustained), 1e-9, "%s, visit %d at %s", run.ID, k+1, v.Frequency())
				}
			}
			assert.Equal(t, map[string]int{"civil": 1}[day.name], undefined, "visits that held no level: only the one whose logger changed its range")
		})
	}
}

// TestTrialVerdicts compares what the program says of each day with what was found by hand.
func TestTrialVerdicts(t *testing.T) {
	for _, day := range trialDays {
		t.Run(day.name, func(t *testing.T) {
			r := build(t, filepath.Join(trialDir, day.name))
			assert.Equal(t, day.state, r.State)
			assert.Empty(t, r.Missing, "the report is no draft")
			var cells, findings, repeat []string
			for i := range r.Cells {
				c := &r.Cells[i]
				cells = append(cells, fmt.Sprintf("%s %d %s %d/%d", c.Polarization, c.Position, c.State, c.StepsMet, len(c.Steps)))
			}
			for _, f := range r.Findings {
				text := fmt.Sprintf("%s %s %s", f.Check, f.State, f.Run)
				if !math.IsNaN(float64(f.From)) {
					text += fmt.Sprintf(" %g", math.Round(float64(f.From)/1e3)/1e3)
				}
				findings = append(findings, text)
			}
			for _, e := range r.Repeat {
				repeat = append(repeat, fmt.Sprintf("%s %d %s %s", e.Polarization, e.Position, e.Frequency, e.Why))
			}
			assert.Equal(t, day.cells, cells)
			assert.Equal(t, day.findings, findings)
			assert.Equal(t, day.repeat, repeat)
			assert.Equal(t, day.article, r.Behaviour)
			for i, list := range day.ofCells {
				var checks []string
				for _, k := range r.Cells[i].Findings {
					checks = append(checks, r.Findings[k].Check)
				}
				assert.Equal(t, list, checks, "of cell %d", i+1)
			}
		})
	}
}

// TestTrialReports makes the report of each day, audits it and reads its pages.
func TestTrialReports(t *testing.T) {
	for _, day := range trialDays {
		t.Run(day.name, func(t *testing.T) {
			document, r := trialReport(t, filepath.Join(trialDir, day.name))
			result, err := audit.Run(document, audit.Options{Program: r.Program})
			require.NoError(t, err)
			assert.True(t, result.Holds(), "%+v", result.Layers)
			pages, err := archive.Texts(document)
			require.NoError(t, err)
			all := ""
			for _, page := range pages {
				all += " " + strings.Join(strings.Fields(archive.PageText(page)), " ")
			}
			for _, text := range day.told {
				assert.Contains(t, all, text)
			}
			for _, text := range day.untold {
				assert.NotContains(t, all, text)
			}
			for _, text := range []string{"NaN", "wass", "%!", "<nil>", " ..", "DRAFT"} {
				assert.NotContains(t, all, text)
			}
		})
	}
}

// trialReport makes the report of a folder.
func trialReport(t *testing.T, dir string) ([]byte, *report.Report) {
	t.Helper()
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	t.Cleanup(func() { folder.Close() })
	r, err := report.Build(folder, report.Program{Name: "fieldheld", Version: "test"})
	require.NoError(t, err)
	var document bytes.Buffer
	require.NoError(t, issue.Write(&document, folder, r, issue.Whole()))
	return document.Bytes(), r
}

// TestTrialDeviationEnds takes the accepted level up: what lies below it is open again.
func TestTrialDeviationEnds(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join(trialDir, "campaign"))))
	sheet, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	require.NoError(t, err)
	changed := bytes.Replace(sheet, []byte(`level_min = "46 V/m"`), []byte(`level_min = "47.5 V/m"`), 1)
	require.NotEqual(t, sheet, changed)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.toml"), changed, 0o644))
	assert.Equal(t, report.NotDemonstrated, build(t, dir).State)
}

// TestTrialClockForgotten takes the hour of the logger's clock out of the sheet: no
// reading lies in any visit, and nothing is shown.
func TestTrialClockForgotten(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(filepath.Join(trialDir, "civil"))))
	sheet, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	require.NoError(t, err)
	changed := bytes.Replace(sheet, []byte(`probe.clock_offset = "-3600 s"`), nil, 1)
	require.NotEqual(t, sheet, changed)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.toml"), changed, 0o644))
	r := build(t, dir)
	assert.Equal(t, report.NotDemonstrated, r.State)
	for i := range r.Cells {
		assert.Zero(t, r.Cells[i].StepsMet)
	}
}
