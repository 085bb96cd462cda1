package report_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
)

// filesOf reads a day's folder into memory.
func filesOf(t *testing.T, day string) map[string][]byte {
	t.Helper()
	root := filepath.Join("..", "testdata", "days", day, "day")
	files := map[string][]byte{}
	require.NoError(t, filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		name, err := filepath.Rel(root, path)
		if err == nil {
			files[filepath.ToSlash(name)], err = os.ReadFile(path)
		}
		return err
	}))
	return files
}

func buildOf(t *testing.T, files map[string][]byte) (*report.Report, error) {
	t.Helper()
	folder, err := ingest.OpenFiles(files)
	if err != nil {
		return nil, err
	}
	defer folder.Close()
	return report.Build(folder, report.Program{Name: "fieldheld"})
}

// replaceIn replaces a text of the job sheet that has to be there.
func replaceIn(t *testing.T, files map[string][]byte, old, with string) {
	t.Helper()
	require.Contains(t, string(files["job.toml"]), old)
	files["job.toml"] = []byte(strings.Replace(string(files["job.toml"]), old, with, 1))
}

const (
	calibration = "name = \"probe calibration\"\nvalue = \"0.7 dB\"\n"
	second      = "[[uncertainty.contribution]]\nname = \"probe calibration\"\nvalue = \"1.6 dB\"\ndivisor = 2.0\n"
)

// A day by the guarded rule whose probe is less certain above 1.06 GHz: there the
// guard band of that range decides, below the other one still does.
func TestTheUncertaintyOfTheRangeDecides(t *testing.T) {
	whole := filesOf(t, "c-guarded")
	one, err := buildOf(t, whole)
	require.NoError(t, err)
	assert.Empty(t, one.Budgets)

	files := filesOf(t, "c-guarded")
	replaceIn(t, files, calibration, calibration+"to = \"1.06 GHz\"\n")
	replaceIn(t, files, "[site]", second+"from = \"1.06 GHz\"\n[site]")
	r, err := buildOf(t, files)
	require.NoError(t, err)
	require.Len(t, r.Budgets, 2)
	assert.Equal(t, r.Budgets[1].Budget.Expanded, r.Budget.Expanded, "the front page gives the largest")
	assert.Contains(t, r.InNumbers, "of at most U = ")
	worse, same := 0, 0
	for i := range r.Runs {
		for k, v := range r.Runs[i].Visits {
			before := one.Runs[i].Visits[k]
			switch {
			case v.Frequency() < 1.06e9:
				assert.Equal(t, before.State, v.State, v.Frequency())
				assert.Equal(t, before.Conformance, v.Conformance)
				same++
			case before.State == report.Met && v.State == report.NotMet:
				assert.Less(t, float64(v.Margin), float64(r.Budgets[1].Budget.Expanded))
				worse++
			}
			if v.State == report.Met {
				assert.GreaterOrEqual(t, float64(v.Margin)+1e-9, float64(v.Budget.Expanded))
			}
		}
	}
	assert.Positive(t, worse)
	assert.Positive(t, same)
	data, err := r.JSON()
	require.NoError(t, err)
	assert.Contains(t, string(data), `"uncertainties": [`)
	data, err = one.JSON()
	require.NoError(t, err)
	assert.NotContains(t, string(data), `"uncertainties"`)
}

// A part of the test without a statement is an error that names it.
func TestAnUncertaintyThatDoesNotCoverTheTestIsAnError(t *testing.T) {
	for _, test := range []struct{ name, first, more, want string }{
		{"above", "to = \"1.2 GHz\"\n", "", "found:    probe calibration: nothing from 1.2 GHz to 1.56 GHz for FP-03"},
		{"a gap", "to = \"1.2 GHz\"\n", second + "from = \"1.3 GHz\"\n", "nothing from 1.2 GHz to 1.3 GHz for FP-03"},
		{"another probe", "probe = \"FP-33\"\n", "", "found:    probe = \"FP-33\""},
		{"another probe's range", "to = \"1.2 GHz\"\n", second + "from = \"1.2 GHz\"\nprobe = \"FP-33\"\n", "nothing from 1.2 GHz to 1.56 GHz for FP-03"},
		{"twice", "to = \"1.2 GHz\"\n", second + "from = \"1.1 GHz\"\n", "two parts of this contribution hold for one range and probe"},
		{"a whole and a part", "", second + "from = \"1.1 GHz\"\n", "two parts of this contribution hold for one range and probe"},
		{"backwards", "from = \"1.2 GHz\"\nto = \"1.1 GHz\"\n", "", "uncertainty.contribution[1].to"},
	} {
		files := filesOf(t, "c-guarded")
		replaceIn(t, files, calibration, calibration+test.first)
		replaceIn(t, files, "[site]", test.more+"[site]")
		_, err := buildOf(t, files)
		require.Error(t, err, test.name)
		assert.Contains(t, err.Error(), test.want, test.name)
		assert.Contains(t, err.Error(), "uncertainty.contribution", test.name)
		assert.NotContains(t, err.Error(), "none is stated", test.name)
	}
}

// With several probes, each of which has to show the level, the largest uncertainty
// of theirs counts: the reading of the more certain one proves nothing of the other's.
func TestTheLargestUncertaintyOfTheProbesCounts(t *testing.T) {
	files := filesOf(t, "e-repeats")
	require.NotContains(t, string(files["job.toml"]), "[uncertainty]")
	replaceIn(t, files, "[site]", `[uncertainty]
coverage_factor = 2.0
[[uncertainty.contribution]]
name = "probe"
value = "0.1 dB"
probe = "FP-03"
[[uncertainty.contribution]]
name = "probe"
value = "0.6 dB"
probe = "FP-04"
[site]`)
	r, err := buildOf(t, files)
	require.NoError(t, err)
	both := 0
	for i := range r.Runs {
		for _, v := range r.Runs[i].Visits {
			if len(v.Sources) == 2 {
				assert.InDelta(t, 1.2, float64(v.Budget.Expanded), 1e-12)
				assert.NotEmpty(t, r.Runs[i].EachProbeText(v))
				both++
			}
		}
	}
	assert.Positive(t, both)
	assert.Equal(t, "FP-03", r.Budgets[0].Probe)
	text := r.Runs[0].EachProbeText(r.Runs[0].Visits[0])
	assert.Contains(t, text, "FP-03: 97.65 V/m to ")
	assert.Contains(t, text, "gives the level; FP-04: ")

	clean, err := buildOf(t, filesOf(t, "a-clean"))
	require.NoError(t, err)
	assert.Empty(t, clean.Runs[0].EachProbeText(clean.Runs[0].Visits[0]), "of one probe the row says it all")
	assert.False(t, clean.SeveralProbes())
}

// The pages of a PDF are counted when the day is checked; one that nobody can open in
// years is no annex.
func TestAnnexesOfADay(t *testing.T) {
	const pdf = "%PDF-1.4\n1 0 obj <</Type /Catalog /Pages 2 0 R>> endobj\n2 0 obj <</Kids [3 0 R 4 0 R]>> endobj\n" +
		"3 0 obj <</Type /Page>> endobj\n4 0 obj <</Type /Page>> endobj\ntrailer <</Root 1 0 R>>\n%%EOF\n"
	files := filesOf(t, "a-clean")
	files["annex.pdf"] = []byte(pdf)
	files["job.toml"] = append(files["job.toml"], "\n[[annex]]\nfile = \"annex.pdf\"\ntitle = \"Procedure\"\n[[witness]]\nname = \"I. Orrevik\"\n"...)
	r, err := buildOf(t, files)
	require.NoError(t, err)
	require.Len(t, r.Annexes, 1)
	assert.Equal(t, 2, r.Annexes[0].Pages)
	assert.False(t, r.Annexes[0].Shown())
	assert.Len(t, r.Annexes[0].SHA256, 64)
	data, err := r.JSON()
	require.NoError(t, err)
	assert.Contains(t, string(data), `"pages": 2`)
	assert.Equal(t, "", r.PresenceOf(&r.Sheet.Witnesses[0]))

	for want, text := range map[string]string{
		"the file is encrypted": strings.Replace(pdf, "<</Root", "<</Encrypt 9 0 R /Root", 1),
		"its end is missing":    strings.Replace(pdf, "%%EOF", "", 1),
		"is missing":            strings.Replace(pdf, "4 0 R]", "7 0 R]", 1),
	} {
		files["annex.pdf"] = []byte(text)
		_, err := buildOf(t, files)
		require.Error(t, err, want)
		assert.Contains(t, err.Error(), "annex[1].file: this PDF cannot be an annex", want)
		assert.Contains(t, err.Error(), want)
	}
}
