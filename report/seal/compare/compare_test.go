package compare

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/render/pdf"
	"fieldheld/report/seal/evidence"
)

// written is a report of a day's folder with its evidence.
func written(t *testing.T, dir string, level evidence.Level) []byte {
	t.Helper()
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	r, err := report.Build(folder, report.Program{Name: "fieldheld", Version: "test"})
	require.NoError(t, err)
	results, err := r.JSON()
	require.NoError(t, err)
	var inputs []evidence.Input
	for _, f := range r.Files {
		inputs = append(inputs, evidence.Input{Path: f.Path, Roles: f.Roles, Size: f.Size, SHA256: f.SHA256})
	}
	bundle, err := evidence.Gather(inputs, results, level, 1<<30, func(path string) ([]byte, error) { return folder.Bytes(path, "evidence", 1<<30) })
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, pdf.Write(&b, r, pdf.Attachments{Picture: folder.Picture, Files: bundle.Attachments(), Note: bundle.Note()}))
	return b.Bytes()
}

// changed is a copy of an example day with a part of a file replaced.
func changed(t *testing.T, file, old, now string) string {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../../testdata/days/b-european/day")))
	path := filepath.Join(dir, filepath.FromSlash(file))
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Contains(t, string(data), old)
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.WriteFile(path, bytes.Replace(data, []byte(old), []byte(now), 1), 0o600))
	return dir
}

func whats(changes []report.Change) []string {
	var list []string
	for _, c := range changes {
		list = append(list, c.What)
	}
	return list
}

func TestWhatChangedIsListed(t *testing.T) {
	before := written(t, "../../../testdata/days/b-european/day", evidence.Files)

	changes, err := Reports(before, before)
	require.NoError(t, err)
	assert.Empty(t, changes)

	after := written(t, changed(t, "job.toml", `serial = "0017"`, `serial = "0018"`), evidence.Files)
	changes, err = Reports(before, after)
	require.NoError(t, err)
	assert.Equal(t, []string{"input job.toml", "job.toml: article.serial"}, whats(changes))
	assert.Equal(t, report.Change{What: "job.toml: article.serial", Before: "0017", After: "0018"}, changes[1])

	// A tolerance that lets the failing level pass changes verdicts and findings.
	after = written(t, changed(t, "requirement.toml", `low  = "-1 dB"`, `low  = "-8 dB"`), evidence.Hashes)
	changes, err = Reports(before, after)
	require.NoError(t, err)
	assert.Contains(t, whats(changes), "cell horizontal, position 1, 80 to 166 MHz")
	assert.Contains(t, whats(changes), "run H1: state (not met, then met) of 1 visit, most at 111.819718 MHz")
	assert.Contains(t, whats(changes), "input requirement.toml")
	assert.Contains(t, changes, report.Change{What: "cell horizontal, position 1, 80 to 166 MHz", Before: "not met, 14 of 16 steps met", After: "not met, 15 of 16 steps met"})
}

func TestAReportWithoutEvidenceCannotBeCompared(t *testing.T) {
	bare := written(t, "../../../testdata/days/b-european/day", evidence.None)
	_, err := Reports(bare, bare)
	assert.ErrorIs(t, err, ErrNothingInside)
	_, err = Reports([]byte("no report"), bare)
	assert.Error(t, err)
}
