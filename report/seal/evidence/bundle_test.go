package evidence

import (
	"bytes"
	"errors"
	"testing"
	"time"

	"github.com/go-pdf/fpdf"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report/seal/archive"
)

var dayFiles = map[string][]byte{
	"job.toml":         []byte("[report]\nnumber = \"NT-0417\"\n"),
	"probe/h1.csv":     []byte("Time,Field\n08:00:00,200.1\n"),
	"photos/Prüfung.x": {0, 1, 2, 255},
	"100%2F/a\\b":      []byte("an odd name"),
	"results.json":     []byte("an input that is called like the results"),
}

func inputs() []Input {
	var list []Input
	for path, data := range dayFiles {
		role := "probe log"
		if path == "photos/Prüfung.x" {
			role = "photo"
		}
		list = append(list, Input{Path: path, Roles: []string{role}, Size: int64(len(data)), SHA256: Digest(data)})
	}
	return list
}

func readDay(path string) ([]byte, error) { return dayFiles[path], nil }

// carried writes a one-page report that carries the bundle.
func carried(t *testing.T, b *Bundle) []byte {
	t.Helper()
	doc := fpdf.New("P", "pt", "A4", "")
	doc.AddPage()
	var made, out bytes.Buffer
	require.NoError(t, doc.Output(&made))
	d := archive.Document{Title: "Report", Date: time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC)}
	require.NoError(t, archive.Write(&out, made.Bytes(), d, nil, b.Attachments()))
	return out.Bytes()
}

func TestBundleComesBackByteForByte(t *testing.T) {
	gathered, err := Gather(inputs(), []byte("{}"), Files, DefaultLimit, readDay)
	require.NoError(t, err)
	report := carried(t, gathered)
	extracted, err := Extract(append(report, "added later"...), 1<<20)
	require.NoError(t, err)
	assert.Equal(t, dayFiles, extracted.Data)
	assert.Equal(t, gathered.Manifest, extracted.Manifest)
	assert.Equal(t, "{}", string(extracted.Results))
	assert.Equal(t, Files, extracted.Level)
	assert.Equal(t, len(report), extracted.End)
	for i, in := range extracted.Inputs {
		assert.Equal(t, gathered.Inputs[i].Path, in.Path)
		assert.Equal(t, Digest(dayFiles[in.Path]), in.SHA256)
	}
}

func TestBundleOfALevel(t *testing.T) {
	for _, test := range []struct {
		name        string
		level       Level
		limit       int64
		carries     Level
		attachments int
		note        string
	}{
		{"all files", Files, DefaultLimit, Files, 8, "all 5 input files"},
		{"too large", Files, 10, Hashes, 2, "more than were allowed"},
		{"digests only", Hashes, DefaultLimit, Hashes, 2, "not the input files"},
		{"nothing", None, DefaultLimit, None, 0, "carries no evidence"},
	} {
		t.Run(test.name, func(t *testing.T) {
			b, err := Gather(inputs(), []byte("{}"), test.level, test.limit, readDay)
			require.NoError(t, err)
			assert.Equal(t, test.carries, b.Level)
			assert.Len(t, b.Attachments(), test.attachments)
			assert.Contains(t, b.Note(), test.note)
			extracted, err := Extract(carried(t, b), 1<<20)
			require.NoError(t, err)
			assert.Equal(t, test.carries, extracted.Level)
		})
	}
}

func TestTheListHasTheNamesOfTheAttachments(t *testing.T) {
	b, err := Gather(inputs(), []byte("{}"), Files, DefaultLimit, readDay)
	require.NoError(t, err)
	extracted, err := Extract(carried(t, b), 1<<20)
	require.NoError(t, err)
	assert.Equal(t, extracted.NameList(), extracted.List)
	saved := map[string]string{}
	for _, a := range b.Attachments() {
		assert.NotContains(t, a.Name, "/", "programs that save attachments make no folders")
		saved[a.Name] = Digest(a.Data)
	}
	delete(saved, listName)
	entries, err := ParseManifest(extracted.List)
	require.NoError(t, err)
	for _, e := range entries {
		assert.Equal(t, saved[e.Path], e.SHA256, e.Path)
		delete(saved, e.Path)
	}
	assert.Empty(t, saved, "every attachment is listed")
}

func TestGatherRefusesWhatChanged(t *testing.T) {
	_, err := Gather(inputs(), nil, Files, DefaultLimit, func(string) ([]byte, error) { return []byte("other"), nil })
	assert.ErrorContains(t, err, "has changed since it was evaluated")
	_, err = Gather(inputs(), nil, Files, DefaultLimit, func(string) ([]byte, error) { return nil, errors.New("gone") })
	assert.ErrorContains(t, err, "gone")
}

func TestExtractRefusesWhatIsTooLargeOrNoReport(t *testing.T) {
	b, err := Gather(inputs(), []byte("{}"), Files, DefaultLimit, readDay)
	require.NoError(t, err)
	report := carried(t, b)
	_, err = Extract(report, 20)
	assert.ErrorContains(t, err, "bytes, more than the")
	_, err = Extract([]byte("%PDF-1.7\nno report"), 1<<20)
	assert.ErrorContains(t, err, "no table of objects")
}

func TestExtractRefusesStrangeAttachments(t *testing.T) {
	b, err := Gather(inputs(), []byte("{}"), Files, DefaultLimit, readDay)
	require.NoError(t, err)
	for name, attachments := range map[string][]archive.Attachment{
		"no part of its evidence": append(b.Attachments(), archive.Attachment{Name: "other", MIME: "text/plain", Relationship: "Data"}),
		"twice":                   append(b.Attachments(), b.Attachments()[2]),
	} {
		doc := fpdf.New("P", "pt", "A4", "")
		doc.AddPage()
		var made, out bytes.Buffer
		require.NoError(t, doc.Output(&made))
		require.NoError(t, archive.Write(&out, made.Bytes(), archive.Document{}, nil, attachments))
		_, err := Extract(out.Bytes(), 1<<20)
		assert.ErrorContains(t, err, name)
	}
}
