package newday_test

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/place"
	"fieldheld/templates/demoday"
	"fieldheld/templates/newday"
)

var testDate = time.Date(2026, 12, 1, 0, 0, 0, 0, time.UTC)

// messagesOf returns the problems of a sheet.
func messagesOf(t *testing.T, text string) place.Messages {
	t.Helper()
	_, err := jobsheet.Parse([]byte(text), "form.toml")
	if err == nil {
		return nil
	}
	var problems *place.Error
	require.ErrorAs(t, err, &problems)
	return problems.Messages
}

func TestFormIsAJobSheetWithoutProblems(t *testing.T) {
	assert.Empty(t, messagesOf(t, newday.Form()))
	for line := range strings.Lines(newday.Form()) {
		assert.LessOrEqual(t, len([]rune(strings.TrimRight(line, "\n"))), 80, line)
	}
}

// TestFormHasEveryKey puts an unknown key into every table: the answer lists the
// known ones, and the form has to show each of them.
func TestFormHasEveryKey(t *testing.T) {
	header := regexp.MustCompile(`(?m)^\[\[?[a-z_.]+\]\]?$`)
	messages := messagesOf(t, "zzz = 1\n"+newday.Form())
	require.Len(t, messages, 1)
	for _, key := range strings.Split(strings.TrimPrefix(messages[0].Expected(), "one of "), ", ") {
		assert.Regexp(t, `(?m)^(# )?\[\[?`+key+`\]`, newday.Form())
	}
	entryKeys := regexp.MustCompile(`^(sheet|clock_offset|time_zone|delimiter|decimal|header_row|frequency_resolution|time_format|columns|ignore_columns|status_good|status_bad|units|start|[a-z]+_correction|profile)$`)
	tables := header.FindAllStringIndex(newday.Form(), -1)
	require.Greater(t, len(tables), 15)
	for _, at := range tables {
		text := newday.Form()[:at[1]] + "\nzzz = 1" + newday.Form()[at[1]:]
		body := newday.Form()[at[1]:]
		if next := header.FindStringIndex(body); next != nil {
			body = body[:next[0]]
		}
		name := newday.Form()[at[0]:at[1]]
		messages := messagesOf(t, text)
		require.Len(t, messages, 1, name)
		known := strings.Split(strings.TrimPrefix(messages[0].Expected(), "one of "), ", ")
		require.NotEmpty(t, known)
		for _, key := range known {
			shown := regexp.MustCompile(`(?m)^(# )?`+key+`(\.[a-z_]+)? = `).MatchString(body) || strings.Contains(newday.Form(), "."+key+"]]")
			inEntry := name == "[register]" && entryKeys.MatchString(key) // the form shows the keys of entries in [[run.probe]]
			assert.True(t, shown || inEntry, "%s lacks %s", name, key)
		}
	}
}

func TestAnswersGiveASheetWithoutProblems(t *testing.T) {
	day, err := newday.Plan(newday.Answers{Date: testDate, Number: "NT-0500", TimeZone: "Europe/Oslo", Laboratory: `Tallholm "EMC" Laboratory`,
		Customer: "Orrevik\\Nord", Article: "Лебёдка WK-3", Profile: "mil-std-461g-rs103-ground-navy", From: "30 MHz", To: "200 MHz",
		Assets: []newday.Asset{{"FP-03", "field probe"}, {"AN-07", "antenna"}}}, nil)
	require.NoError(t, err)
	assert.Empty(t, day.ToFillIn)
	sheet, err := jobsheet.Parse(day.Sheet, "job.toml")
	require.NoError(t, err, string(day.Sheet))
	assert.Equal(t, "NT-0500", sheet.Report.Number)
	assert.Equal(t, `Tallholm "EMC" Laboratory`, sheet.Laboratory.Name)
	assert.Equal(t, `Orrevik\Nord`, sheet.Customer.Name)
	assert.Equal(t, "Лебёдка WK-3", sheet.Article.Name)
	assert.Equal(t, "30 MHz", sheet.Requirement.From.String())
	require.Len(t, sheet.Equipment, 2)
	assert.Equal(t, "antenna", sheet.Equipment[1].Role)
	require.Len(t, sheet.Runs, 2)
	assert.Equal(t, []string{"corrections", "dwell", "photos", "power", "probe"}, day.Folders)
	assert.Contains(t, string(day.Sheet), "# at = 2026-12-01T08:50:00", "examples carry the date of the test")
}

func TestWhatIsNotAnsweredIsToBeFilledIn(t *testing.T) {
	day, err := newday.Plan(newday.Answers{Date: testDate}, nil)
	require.NoError(t, err)
	var keys []string
	for _, m := range day.ToFillIn {
		keys = append(keys, m.Place.Key)
	}
	assert.ElementsMatch(t, []string{"report.time_zone", "article.name", "requirement.profile"}, keys)
}

func TestAnswersThatCannotBeUsedAreRefused(t *testing.T) {
	for name, a := range map[string]newday.Answers{
		"frequency": {From: "30"},
		"zone":      {TimeZone: "Tallholm"},
		"role":      {Assets: []newday.Asset{{"FP-03", "prob"}}},
		"control":   {Article: "winch\x1b[2J"},
	} {
		t.Run(name, func(t *testing.T) {
			a.Date = testDate
			_, err := newday.Plan(a, nil)
			var problems *place.Error
			require.ErrorAs(t, err, &problems)
		})
	}
}

// TestLikeKeepsTheSetup plans a day like each of the example days and compares
// everything that the sheets say.
func TestLikeKeepsTheSetup(t *testing.T) {
	dirs, err := filepath.Glob("../../testdata/days/*/day")
	require.NoError(t, err)
	require.NotEmpty(t, dirs)
	demo := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, demoday.Demo().Write(demo))
	for _, dir := range append(dirs, demo) {
		t.Run(filepath.Base(filepath.Dir(dir)), func(t *testing.T) {
			day, err := newday.Plan(newday.Answers{Date: testDate}, os.DirFS(dir))
			require.NoError(t, err)
			got, err := jobsheet.Parse(day.Sheet, "job.toml")
			require.NoError(t, err, string(day.Sheet))
			data, err := os.ReadFile(filepath.Join(dir, "job.toml"))
			require.NoError(t, err)
			want, err := jobsheet.Parse(data, "job.toml")
			require.NoError(t, err)
			dropResults(want)
			assert.Equal(t, dump(reflect.ValueOf(*want)), dump(reflect.ValueOf(*got)))
			for _, file := range day.Files {
				there, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(file.Path)))
				require.NoError(t, err)
				assert.Equal(t, there, file.Data, file.Path)
			}
			assert.Empty(t, day.ToFillIn)
		})
	}
}

// dropResults takes from a sheet what a new day does not take over.
func dropResults(s *jobsheet.Sheet) {
	s.Report = jobsheet.Report{Zone: s.Report.Zone, Page: s.Report.Page, Procedure: s.Report.Procedure}
	s.Article.Sampling, s.Site.Bonding, s.Site.ModulationRecord, s.Requirement.AgreedBy = "", "", "", ""
	s.Customer.Order = ""
	s.Article.Serial, s.Article.Versions, s.Article.Condition, s.Article.Received = "", "", "", time.Time{}
	s.Plan.Date = testDate
	s.Environment, s.Events, s.Deviations, s.Photos = nil, nil, nil, nil
	for i := range s.Tunings {
		s.Tunings[i].Changes = nil
	}
	for i := range s.Signatures {
		s.Signatures[i].Date = time.Time{}
	}
	for i := range s.Runs {
		run := &s.Runs[i]
		run.Harmonics = nil
		run.Dwell.ClockOffset, run.Dwell.Start = 0, time.Time{}
		if run.Power != nil {
			run.Power.ClockOffset, run.Power.Start = 0, time.Time{}
		}
		if run.Motion != nil {
			run.Motion.ClockOffset, run.Motion.Start = 0, time.Time{}
		}
		for k := range run.Probes {
			run.Probes[k].Log.ClockOffset, run.Probes[k].Log.Start = 0, time.Time{}
		}
	}
}

// dump writes a value and all that it points to, but for places and what is not
// exported. Undefined figures, which equal nothing, are written as such.
func dump(v reflect.Value) string {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			return "nil"
		}
		if zone, ok := v.Interface().(*time.Location); ok {
			return zone.String()
		}
		return dump(v.Elem())
	case reflect.Slice:
		var b strings.Builder
		for i := range v.Len() {
			fmt.Fprintf(&b, "- %s\n", dump(v.Index(i)))
		}
		return b.String()
	case reflect.Struct:
		if at, ok := v.Interface().(time.Time); ok {
			return at.String()
		}
		if _, ok := v.Interface().(place.Place); ok {
			return ""
		}
		var b strings.Builder
		for i := range v.NumField() {
			if field := v.Type().Field(i); field.IsExported() {
				fmt.Fprintf(&b, "%s: %s\n", field.Name, dump(v.Field(i)))
			}
		}
		return b.String()
	default:
		return fmt.Sprint(v.Interface())
	}
}

func TestConcerns(t *testing.T) {
	demo := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, demoday.Demo().Write(demo))
	for name, c := range map[string]struct {
		date time.Time
		want []string
	}{
		"all is well":             {testDate, nil},
		"the last day counts":     {time.Date(2027, 3, 2, 0, 0, 0, 0, time.UTC), nil},
		"one calibration ended":   {time.Date(2027, 3, 3, 0, 0, 0, 0, time.UTC), []string{"The calibration of FP-03 (field probe) ends on 2027-03-02, before the test on 2027-03-03."}},
		"one is calibrated later": {time.Date(2026, 3, 1, 0, 0, 0, 0, time.UTC), []string{"PS-05", "PS-06", "FP-03 (field probe) was calibrated on 2026-03-02, after the test on 2026-03-01.", "TH-04"}},
	} {
		t.Run(name, func(t *testing.T) {
			day, err := newday.Plan(newday.Answers{Date: c.date}, os.DirFS(demo))
			require.NoError(t, err)
			require.Len(t, day.Concerns, len(c.want), "%v", day.Concerns)
			for i := range c.want {
				assert.Contains(t, day.Concerns[i], c.want[i])
			}
		})
	}
	t.Run("an asset that is not listed", func(t *testing.T) {
		day, err := newday.Plan(newday.Answers{Date: testDate, Assets: []newday.Asset{{"AN-07", "antenna"}, {"PA-02", "amplifier"}, {"FP-09", "field probe"}}}, os.DirFS(demo))
		require.NoError(t, err)
		text := strings.Join(day.Concerns, "\n")
		assert.Contains(t, text, "FP-09 (field probe) is not in the register.")
		assert.Contains(t, text, "FP-03 is named by run H1 and is not in the list of equipment.")
		assert.Contains(t, text, "AN-07 (antenna) needs a calibration and none is stated.")
	})
	t.Run("no register", func(t *testing.T) {
		day, err := newday.Plan(newday.Answers{Date: testDate}, nil)
		require.NoError(t, err)
		assert.Equal(t, []string{"No register is named: calibration dates and assets were not checked."}, day.Concerns)
	})
}

func TestNothingThatIsThereIsMissing(t *testing.T) {
	day, err := newday.Plan(newday.Answers{Date: testDate, Register: &newday.File{Path: "equipment.csv", Data: []byte("asset\nFP-03\n")}}, nil)
	require.NoError(t, err)
	dir := filepath.Join(t.TempDir(), "Målinger день 1")
	missing, err := day.Missing(dir)
	require.NoError(t, err)
	for _, file := range missing {
		require.NoError(t, os.MkdirAll(filepath.Dir(filepath.Join(dir, file.Path)), 0o755))
		require.NoError(t, os.WriteFile(filepath.Join(dir, file.Path), file.Data, 0o644))
	}
	written, err := os.ReadFile(filepath.Join(dir, "job.toml"))
	require.NoError(t, err)
	assert.Equal(t, day.Sheet, written)

	_, err = day.Missing(dir)
	require.ErrorContains(t, err, "there is a job sheet")
	require.NoError(t, os.Remove(filepath.Join(dir, "job.toml")))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "equipment.csv"), []byte("mine"), 0o644))
	_, err = day.Missing(dir)
	require.ErrorContains(t, err, "there is another equipment.csv")
	assert.NoFileExists(t, filepath.Join(dir, "job.toml"), "nothing is written where something would be overwritten")
	kept, err := os.ReadFile(filepath.Join(dir, "equipment.csv"))
	require.NoError(t, err)
	assert.Equal(t, "mine", string(kept))
}

func TestFormerDayThatCannotBeRead(t *testing.T) {
	_, err := newday.Plan(newday.Answers{Date: testDate}, os.DirFS(t.TempDir()))
	require.ErrorContains(t, err, "the former day: job.toml")
}
