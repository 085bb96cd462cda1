package ingest

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const smallSheet = `[report]
time_zone = "UTC"
[article]
name = "winch controller"
[requirement]
profile = "any"
[[equipment]]
asset = "FP-03"
role = "field probe"
due = 2027-03-02
[register]
file = "register.csv"
[[run]]
id = "H1"
polarization = "horizontal"
dwell = { file = "dwell.csv" }
[[run.probe]]
file = "probe.csv"
asset = "FP-03"
[[run]]
id = "V1"
polarization = "vertical"
dwell = { file = "dwell.csv" }
[[run.probe]]
file = "probe.csv"
asset = "FP-03"
[[photo]]
file = "photos/setup.jpg"
`

var smallFiles = map[string]string{
	"job.toml": smallSheet,
	"dwell.csv": `Frequency (MHz),Start,End,Run
30,2026-11-18T09:00:00Z,2026-11-18T09:00:01Z,H1
31,2026-11-18T09:00:02Z,2026-11-18T09:00:03Z,V1
32,2026-11-18T09:00:04Z,2026-11-18T09:00:05Z,X9
`,
	"probe.csv": `Time,Field (V/m)
2026-11-18T09:00:00Z,10
2026-11-18T09:00:01Z,11
2026-11-18T09:00:02Z,eleven
`,
	"register.csv": `Asset,Serial,Calibrated,Due
FP-03,4151,2026-03-02,2027-03-01
`,
	"photos/setup.jpg": "not read, only kept",
}

// writeDay writes a day's folder, with some files replaced or, where empty, left out.
func writeDay(t *testing.T, replaced map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range smallFiles {
		if other, ok := replaced[name]; ok {
			text = other
		}
		if text == "" {
			continue
		}
		path := filepath.Join(dir, filepath.FromSlash(name))
		require.NoError(t, os.MkdirAll(filepath.Dir(path), 0o755))
		require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
	}
	return dir
}

func readDay(t *testing.T, dir string) (*Day, error) {
	t.Helper()
	folder, err := Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	return folder.Read(0)
}

func TestADayIsReadOnceAndSharedOut(t *testing.T) {
	dir := writeDay(t, nil)
	day, err := readDay(t, dir)
	require.NoError(t, err)

	require.Len(t, day.Runs, 2)
	assert.Same(t, day.Runs[0].Dwell, day.Runs[1].Dwell, "one file is read once")
	assert.Same(t, day.Runs[0].Probes[0].Log, day.Runs[1].Probes[0].Log)
	assert.Equal(t, 2, day.Runs[0].Visits[0].Row)
	assert.Equal(t, 3, day.Runs[1].Visits[0].Row)
	assert.Equal(t, []UnclaimedRows{{File: "dwell.csv", Count: 1, First: 4, Last: 4}}, day.Unclaimed)

	asset := day.Asset("FP-03")
	assert.Equal(t, "4151", asset.Serial, "what the sheet lacks is taken from the register")
	assert.Equal(t, 2, asset.RegisterRow)
	assert.Equal(t, []string{"due is 2027-03-02 in the job sheet and 2027-03-01 in the register"}, asset.Differences)
}

func TestEveryFileThatWasReadIsEvidence(t *testing.T) {
	day, err := readDay(t, writeDay(t, nil))
	require.NoError(t, err)
	var paths []string
	for _, f := range day.Files {
		paths = append(paths, f.Path)
		sum := sha256.Sum256([]byte(smallFiles[f.Path]))
		assert.Equal(t, hex.EncodeToString(sum[:]), f.SHA256, f.Path)
		assert.Equal(t, int64(len(smallFiles[f.Path])), f.Size, f.Path)
	}
	assert.Equal(t, []string{"dwell.csv", "job.toml", "photos/setup.jpg", "probe.csv", "register.csv"}, paths)
	probe := day.Files[3]
	assert.Equal(t, 2, probe.RowsRead)
	assert.Equal(t, 1, probe.RowsUnread)
	assert.Equal(t, "2026-11-18T09:00:02Z", probe.Last.Format("2006-01-02T15:04:05Z07:00"))
}

func TestAMissingPhotoIsNoReasonToStop(t *testing.T) {
	day, err := readDay(t, writeDay(t, map[string]string{"photos/setup.jpg": ""}))
	require.NoError(t, err)
	require.Len(t, day.MissingPhotos, 1)
	assert.Equal(t, "photos/setup.jpg is not there", day.MissingPhotos[0].What())
}

func TestFilesThatCannotBeReadPointAtTheSheet(t *testing.T) {
	_, err := readDay(t, writeDay(t, map[string]string{"probe.csv": "", "register.csv": ""}))
	require.Error(t, err)
	for _, line := range []string{"job.toml, line 12, register.file: register.csv is not there", "job.toml, line 18, run[1].probe[1].file: probe.csv is not there"} {
		assert.Contains(t, err.Error(), line)
	}
}

func TestNothingOutsideTheFolderIsRead(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Log("links need a privilege on Windows; paths are tested in package jobsheet")
		return
	}
	outside := filepath.Join(t.TempDir(), "probe.csv")
	require.NoError(t, os.WriteFile(outside, []byte(smallFiles["probe.csv"]), 0o644))
	dir := writeDay(t, map[string]string{"probe.csv": ""})
	require.NoError(t, os.Symlink(outside, filepath.Join(dir, "probe.csv")))
	_, err := readDay(t, dir)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "the path leaves the day's folder")
}

// A visit that two runs of different polarization claim would prove both.
func TestAVisitThatTwoRunsClaimIsAnError(t *testing.T) {
	_, err := readDay(t, writeDay(t, map[string]string{"dwell.csv": strings.ReplaceAll(smallFiles["dwell.csv"], ",Run", ",Remark")}))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "dwell.csv, row 2: this visit is claimed by the runs H1 and V1")
}

// A row that names its run and another polarization proves neither.
func TestARowThatContradictsItsRunIsAnError(t *testing.T) {
	dwell := strings.NewReplacer(",Run\n", ",Run,Pol,Position\n", ",H1\n", ",H1,H,1\n", ",V1\n", ",V1,H,1\n", ",X9\n", ",X9,H,1\n").Replace(smallFiles["dwell.csv"])
	_, err := readDay(t, writeDay(t, map[string]string{"dwell.csv": dwell}))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "dwell.csv, row 3: this row names run V1 and contradicts it\n    found:    horizontal polarization")
	_, err = readDay(t, writeDay(t, map[string]string{"dwell.csv": strings.Replace(dwell, ",V1,H,1", ",V1,V,2", 1)}))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "found:    position 2")
}

func TestNoFolderAndNoSheet(t *testing.T) {
	_, err := Open(filepath.Join(t.TempDir(), "nowhere"))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "nowhere is not there")
	_, err = Open(t.TempDir())
	require.Error(t, err)
	assert.Contains(t, err.Error(), "there is no job sheet")
}
