package ingest

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"hash/crc32"
	"image"
	"image/jpeg"
	"image/png"
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
	"photos/setup.jpg": pictureFile(jpegOf),
}

// pictureFile is a small picture as a file.
func pictureFile(encode func(*bytes.Buffer, image.Image) error) string {
	var b bytes.Buffer
	if err := encode(&b, image.NewGray(image.Rect(0, 0, 8, 4))); err != nil {
		panic(err)
	}
	return b.String()
}

func jpegOf(b *bytes.Buffer, picture image.Image) error { return jpeg.Encode(b, picture, nil) }

func pngOf(b *bytes.Buffer, picture image.Image) error { return png.Encode(b, picture) }

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

// A photo that cannot be shown is told when the day is checked, with the line that
// names it, and not when its report is made.
func TestAPhotoThatCannotBeShownIsAnError(t *testing.T) {
	good := pictureFile(pngOf)
	bomb := []byte(good)
	copy(bomb[16:], "\x00\x00\x75\x30\x00\x00\x75\x30") // 30,000 × 30,000 pixels
	binary.BigEndian.PutUint32(bomb[29:], crc32.ChecksumIEEE(bomb[12:29]))
	for _, test := range []struct{ name, data, want string }{
		{"not there", "", "photos/setup.jpg is not there"},
		{"no picture", "not read, only kept", "this picture cannot be shown\n    found:    photos/setup.jpg: a file of another kind\n    expected: a JPEG or PNG picture\n    to do:    save it as"},
		{"an SVG", "<svg xmlns='http://www.w3.org/2000/svg'/>", "found:    photos/setup.jpg: an SVG drawing"},
		{"cut", good[:len(good)-15], "the picture is damaged"},
		{"more pixels than a report takes", string(bomb), "found:    photos/setup.jpg: 30000 × 30000 pixels"},
	} {
		_, err := readDay(t, writeDay(t, map[string]string{"photos/setup.jpg": test.data}))
		require.Error(t, err, test.name)
		assert.Contains(t, err.Error(), "job.toml, line 28, photo[1].file: ", test.name)
		assert.Contains(t, err.Error(), test.want, test.name)
	}
	_, err := readDay(t, writeDay(t, map[string]string{"photos/setup.jpg": good}))
	require.NoError(t, err, "what a file is it says itself, and not its name")
}

// A logo is bounded as a photo, and is evidence as every file.
func TestALogo(t *testing.T) {
	logo := pictureFile(pngOf)
	sheet := strings.Replace(smallSheet, "[report]\n", "[report]\nlogo = \"photos/setup.jpg\"\n", 1)
	day, err := readDay(t, writeDay(t, map[string]string{"job.toml": sheet, "photos/setup.jpg": logo}))
	require.NoError(t, err)
	assert.Equal(t, []string{"logo", "photo"}, day.Files[2].Roles)
	_, err = readDay(t, writeDay(t, map[string]string{"job.toml": sheet, "photos/setup.jpg": "<svg/>"}))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "report.logo: this picture cannot be shown\n    found:    photos/setup.jpg: an SVG drawing")
	_, err = readDay(t, writeDay(t, map[string]string{"job.toml": strings.Replace(sheet, "setup.jpg", "no.png", 1)}))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "photos/no.png is not there")
}

// What an annex is follows from its content, whatever its name says.
func TestAnnexes(t *testing.T) {
	sheet := smallSheet + "[[annex]]\ntitle = \"An annex\"\nfile = \"photos/setup.jpg\"\n"
	for data, kind := range map[string]AnnexKind{
		pictureFile(pngOf): PictureAnnex, pictureFile(jpegOf): PictureAnnex, "%PDF-1.7\n": PDFAnnex, "<?xml version='1.0'?><svg width='1'/>": SVGAnnex,
	} {
		day, err := readDay(t, writeDay(t, map[string]string{"job.toml": strings.Replace(sheet, "[[photo]]\nfile = \"photos/setup.jpg\"\n", "", 1), "photos/setup.jpg": data}))
		require.NoError(t, err, kind)
		require.Len(t, day.Annexes, 1)
		assert.Equal(t, kind, day.Annexes[0].Kind)
		assert.Equal(t, []string{"annex"}, day.Files[2].Roles)
	}
	for data, want := range map[string]string{
		"text":                   "a file of another kind",
		"MZ\x90\x00":             "a file of another kind",
		pictureFile(jpegOf)[:50]: "a JPEG whose beginning cannot be read",
	} {
		_, err := readDay(t, writeDay(t, map[string]string{"job.toml": sheet, "photos/setup.jpg": data}))
		require.Error(t, err, want)
		assert.Contains(t, err.Error(), "annex[1].file: ")
		assert.Contains(t, err.Error(), want)
	}
	_, err := OpenFiles(map[string][]byte{"job.toml": []byte(strings.Replace(sheet, "An annex", `An\u202Ennex`, 1))})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "annex[1].title")
	_, err = OpenFiles(map[string][]byte{"job.toml": []byte(strings.Replace(sheet, "An annex\"\nfile = \"photos/", `A"
file = "photos/\u001b`, 1))})
	require.Error(t, err)
	assert.Contains(t, err.Error(), "annex[1].file")
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
