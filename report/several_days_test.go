package report_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/ingest/record"
	"fieldheld/report"
)

// The folders of a test over two days; the second has what names of folders can have.
const firstDay, secondDay = "2026-11-18", "dag to, ettermiddag"

// blocksOf cuts a job sheet into its tables; a list below a table stays with it.
func blocksOf(sheet string) []string {
	var blocks []string
	header := regexp.MustCompile(`^\[+([a-z_]+)\]`)
	for _, line := range strings.SplitAfter(sheet, "\n") {
		if header.MatchString(line) || len(blocks) == 0 {
			blocks = append(blocks, "")
		}
		blocks[len(blocks)-1] += line
	}
	return blocks
}

// splitDay writes an example day as a test over two days: the first run alone on
// the first day, the others on the second. The first day repeats what the days
// share. It returns the day on which each run was made.
func splitDay(t *testing.T, from, to string) map[string]string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(from, "job.toml"))
	require.NoError(t, err)
	folderOf := map[string]string{}
	whole := "[[day]]\nfolder = \"" + firstDay + "\"\n[[day]]\nfolder = '" + secondDay + "'\n"
	parts := map[string]string{}
	name := regexp.MustCompile(`^\[+([a-z_]+)`)
	run := regexp.MustCompile(`(?m)^(?:id|run) = "(.*)"`)
	for _, block := range blocksOf(strings.ReplaceAll(string(text), "\r\n", "\n")) {
		kind, of := "", ""
		if m := name.FindStringSubmatch(block); m != nil {
			kind = m[1]
		}
		if m := run.FindStringSubmatch(block); m != nil {
			of = m[1]
		}
		switch kind {
		case "run":
			folderOf[of] = secondDay
			if len(folderOf) == 1 {
				folderOf[of] = firstDay
			}
			parts[folderOf[of]] += block
		case "register", "equipment":
			parts[firstDay] += block
			parts[secondDay] += block
		case "tuning", "environment":
			parts[secondDay] += block
			if strings.Contains(parts[secondDay], "T-H") {
				parts[firstDay] += block
			}
		case "photo":
			parts[firstDay] += block
		case "event", "deviation":
			if folder, known := folderOf[of]; known {
				parts[folder] += block
			} else {
				whole += block
			}
		case "signature":
			whole += block
			parts[firstDay] += block
		default:
			whole += block
			parts[firstDay] += block
		}
	}
	write := func(path, text string) {
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	write(filepath.Join(to, "job.toml"), whole)
	if data, err := os.ReadFile(filepath.Join(from, "requirement.toml")); err == nil {
		write(filepath.Join(to, "requirement.toml"), string(data))
	}
	for folder, part := range parts {
		require.NoError(t, os.CopyFS(filepath.Join(to, folder), os.DirFS(from)))
		write(filepath.Join(to, folder, "job.toml"), part)
	}
	return folderOf
}

// TestTwoDaysGiveWhatOneGave compares example days that are split over two
// folders with what the independent evaluator got for the single day.
func TestTwoDaysGiveWhatOneGave(t *testing.T) {
	for _, name := range []string{"a-clean", "b-european", "c-guarded", "e-repeats", "f-slopes"} {
		t.Run(name, func(t *testing.T) {
			from, to := filepath.Join("..", "testdata", "days", name), t.TempDir()
			folderOf := splitDay(t, filepath.Join(from, "day"), to)
			data, err := os.ReadFile(filepath.Join(from, "expected.json"))
			require.NoError(t, err)
			want := decode(t, data)
			r := build(t, to)
			data, err = r.JSON()
			require.NoError(t, err)
			got := decode(t, data)
			compareDocuments(t, inTwoDays(want, folderOf), withoutFolders(got))
			for i := range r.Files {
				path := r.Files[i].Path
				ok := path == "job.toml" || path == "requirement.toml" || strings.HasPrefix(path, firstDay+"/") || strings.HasPrefix(path, secondDay+"/")
				assert.True(t, ok, path)
			}
		})
	}
}

// inTwoDays names the runs of a document by their day. Runs keep the order of
// the days.
func inTwoDays(d document, folderOf map[string]string) document {
	named := func(id string) string {
		if id == "" {
			return ""
		}
		return folderOf[id] + "/" + id
	}
	for i := range d.Runs {
		d.Runs[i].ID = named(d.Runs[i].ID)
	}
	for i := range d.Findings {
		d.Findings[i].Run = named(d.Findings[i].Run)
	}
	return d
}

// withoutFolders takes the folders of the days from the paths of the evidence. A
// dwell record of all runs lies in both folders; the notes of the rows in it that
// are of the other day's runs are left out.
func withoutFolders(d document) document {
	d.Findings = slices.DeleteFunc(d.Findings, func(f documentFinding) bool {
		return f.Check == "record" && strings.Contains(f.Evidence[0].File, "/dwell/all.")
	})
	for i := range d.Findings {
		for k := range d.Findings[i].Evidence {
			e := &d.Findings[i].Evidence[k]
			e.File = strings.TrimPrefix(strings.TrimPrefix(e.File, firstDay+"/"), secondDay+"/")
		}
	}
	return d
}

// twoDays writes a-clean over two days, with replacements in the sheets of the
// test ("") and of its days.
func twoDays(t *testing.T, replace map[string][2]string) string {
	t.Helper()
	dir := t.TempDir()
	splitDay(t, filepath.Join("..", "testdata", "days", "a-clean", "day"), dir)
	for folder, change := range replace {
		path := filepath.Join(dir, folder, "job.toml")
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Contains(t, string(text), change[0])
		require.NoError(t, os.WriteFile(path, []byte(strings.Replace(string(text), change[0], change[1], 1)), 0o644))
	}
	return dir
}

// TestDaysThatDiffer demands an error that names both lines where the sheet of a
// day says something else than the sheet of the whole test.
func TestDaysThatDiffer(t *testing.T) {
	for _, test := range []struct {
		name    string
		replace map[string][2]string
		want    []string
	}{
		{"another article", map[string][2]string{firstDay: {`serial = "`, `serial = "9`}}, []string{"article.serial", firstDay + "/job.toml, line", "as in job.toml, line"}},
		{"a key more", map[string][2]string{firstDay: {"[article]\n", "[article]\ncondition = \"wet\"\n"}}, []string{"article.condition", "does not say this"}},
		{"no such folder", map[string][2]string{"": {firstDay, "2026-11-19"}}, []string{"job.toml, line 2, day[1].folder", "2026-11-19/job.toml"}},
		{"a folder twice", map[string][2]string{"": {secondDay, firstDay}}, []string{"job.toml, line 4, day[2].folder", "named twice"}},
		{"its own folder", map[string][2]string{"": {firstDay, "."}}, []string{"lies below"}},
		{"a folder outside", map[string][2]string{"": {firstDay, "../other"}}, []string{"leaves the day's folder"}},
		{"runs in both", map[string][2]string{"": {"[[day]]", "[[run]]\nid = \"X\"\npolarization = \"vertical\"\ndwell = \"d.csv\"\n[[run.probe]]\nfile = \"p.csv\"\n[[day]]"}}, []string{"a sheet with days has no runs of its own"}},
		{"days in days", map[string][2]string{secondDay: {"[register]", "[[day]]\nfolder = \"x\"\n[register]"}}, []string{`the key "day" is not known here`}},
		{"a run of no day", map[string][2]string{"": {"[report]", "[[event]]\nrun = \"H1\"\nobserved = \"a click\"\n[report]"}}, []string{"event[1].run", "refers to nothing", firstDay + "/H1"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, err := ingest.Open(twoDays(t, test.replace))
			require.Error(t, err)
			for _, text := range test.want {
				assert.Contains(t, err.Error(), text)
			}
		})
	}
}

func TestRequirementFilesOfDaysAreCompared(t *testing.T) {
	dir := twoDays(t, nil)
	path := filepath.Join(dir, firstDay, "requirement.toml")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, append(data, "# another\n"...), 0o644))
	_, err = ingest.Open(dir)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "is not the one of the whole test")
	assert.Contains(t, err.Error(), firstDay+"/job.toml, line")
}

// stated lists a probe with the calibration that a day's sheet states.
func stated(calibrated, due string) [2]string {
	const probe = "asset = \"FP-03\"\nrole = \"field probe\"\n"
	return [2]string{probe, probe + "calibrated = " + calibrated + "\ndue = " + due + "\n"}
}

// TestCalibrationIsJudgedForEachDay lists one probe with two calibrations: each
// run is judged by what its own day states.
func TestCalibrationIsJudgedForEachDay(t *testing.T) {
	valid, ended := stated("2026-01-01", "2027-12-31"), stated("2020-01-01", "2021-01-01")
	for _, test := range []struct {
		name          string
		first, second [2]string
		runs          []string // with a finding
		assets        []string
	}{
		{"both valid", valid, valid, nil, []string{"FP-03"}},
		{"first ended", ended, valid, []string{firstDay + "/H1"}, []string{firstDay + "/FP-03", secondDay + "/FP-03"}},
		{"second ended", valid, ended, []string{secondDay + "/V1"}, []string{firstDay + "/FP-03", secondDay + "/FP-03"}},
		{"both ended", ended, ended, []string{firstDay + "/H1", secondDay + "/V1"}, []string{"FP-03"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := build(t, twoDays(t, map[string][2]string{firstDay: test.first, secondDay: test.second}))
			var runs, assets []string
			for i := range r.Findings {
				if r.Findings[i].Check == "calibration" {
					runs = append(runs, r.Findings[i].Run)
				}
			}
			for i := range r.Equipment {
				if strings.HasSuffix(r.Equipment[i].Asset, "FP-03") {
					assets = append(assets, r.Equipment[i].Asset)
				}
			}
			assert.ElementsMatch(t, test.runs, runs)
			assert.ElementsMatch(t, test.assets, assets)
		})
	}
}

// TestDeviationsOfADayCoverThatDay lets a hole and a failed calibration be
// accepted by the sheet of one day; only findings of that day are covered.
func TestDeviationsOfADayCoverThatDay(t *testing.T) {
	const deviation = "[[deviation]]\ncovers = [\"calibration\"]\nreason = \"agreed\"\nagreed_by = \"I. Orrevik\"\n"
	ended := stated("2020-01-01", "2021-01-01")
	for _, test := range []struct {
		in       string
		accepted []string
	}{
		{firstDay, []string{firstDay + "/H1"}},
		{secondDay, []string{secondDay + "/V1"}},
		{"", []string{firstDay + "/H1", secondDay + "/V1"}},
	} {
		dir := twoDays(t, map[string][2]string{firstDay: ended, secondDay: ended})
		path := filepath.Join(dir, test.in, "job.toml")
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(path, append(text, deviation...), 0o644))
		r := build(t, dir)
		var accepted []string
		for i := range r.Findings {
			if f := &r.Findings[i]; f.Check == "calibration" && f.State == report.Accepted {
				accepted = append(accepted, f.Run)
			}
		}
		slices.Sort(accepted)
		assert.Equal(t, test.accepted, accepted, "deviation in %q", test.in)
	}
}

// TestAnAssetListedTwiceDiffers refuses an asset that the sheet of the whole test
// lists otherwise than that of a day, because it would not be known which counts.
func TestAnAssetListedTwiceDiffers(t *testing.T) {
	dir := twoDays(t, map[string][2]string{"": {"[report]", "[[equipment]]\nasset = \"FP-03\"\nrole = \"field probe\"\ndue = 2031-01-01\n[report]"}})
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	_, err = report.Build(folder, report.Program{})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "listed otherwise in the sheet of the whole test")
	assert.Contains(t, err.Error(), secondDay+"/job.toml, line")
	assert.Contains(t, err.Error(), "the same as in job.toml, line")
}

// The register that one day's sheet names is looked at as that sheet says.
func TestLookKnowsTheRegisterOfADayOfSeveral(t *testing.T) {
	dir := t.TempDir()
	splitDay(t, filepath.Join("..", "testdata", "days", "a-clean", "day"), dir)
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	looks, err := folder.LookAt(dir, filepath.Join(dir, secondDay, "equipment.xlsx"), 0)
	require.NoError(t, err)
	require.Len(t, looks, 1)
	assert.Equal(t, record.KindRegister, looks[0].Kind)
}
