package audit

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/json"
	"math/big"
	mathrand "math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"software.sslmate.com/src/go-pkcs12"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/render/pdf"
	"fieldheld/report/seal/archive"
	"fieldheld/report/seal/evidence"
	"fieldheld/report/seal/issue"
	"fieldheld/report/seal/signature"
)

const exampleDay = "../../../testdata/days/a-clean/day"

var program = report.Program{Name: "fieldheld", Version: "test", RuleSet: "1"}

func openDay(t *testing.T) (*ingest.Folder, *report.Report) {
	t.Helper()
	folder, err := ingest.Open(exampleDay)
	require.NoError(t, err)
	t.Cleanup(func() { folder.Close() })
	r, err := report.Build(folder, program)
	require.NoError(t, err)
	return folder, r
}

func written(t *testing.T, carried issue.Carried) []byte {
	t.Helper()
	folder, r := openDay(t)
	var b bytes.Buffer
	require.NoError(t, issue.Write(&b, folder, r, carried))
	return b.Bytes()
}

func run(t *testing.T, document []byte, day string) *Result {
	t.Helper()
	result, err := Run(document, Options{Day: day, Program: program})
	require.NoError(t, err)
	return result
}

// failing is the name of the first layer that does not hold, "" for none.
func failing(r *Result) string {
	for _, l := range r.Layers {
		if l.State != Holds {
			return l.Name
		}
	}
	return ""
}

func TestAReportHolds(t *testing.T) {
	for name, test := range map[string]struct {
		carried issue.Carried
		day     string
	}{
		"with its files":     {issue.Whole(), ""},
		"with hashes":        {issue.Carried{Level: evidence.Hashes}, exampleDay},
		"with too many":      {issue.Carried{Level: evidence.Files, Limit: 1000}, exampleDay},
		"without evidence":   {issue.Carried{Level: evidence.None}, exampleDay},
		"also from a folder": {issue.Whole(), exampleDay},
	} {
		result := run(t, written(t, test.carried), test.day)
		assert.True(t, result.Holds(), "%s: %v", name, result.Layers)
		assert.Equal(t, "NT-9101", result.Number)
	}
}

// The front page of some goes on overleaf, with the matrix on it.
func TestTheReportOfEveryExampleDayHolds(t *testing.T) {
	days, err := filepath.Glob("../../../testdata/days/*/day")
	require.NoError(t, err)
	require.NotEmpty(t, days)
	for _, day := range days {
		folder, err := ingest.Open(day)
		require.NoError(t, err)
		r, err := report.Build(folder, program)
		require.NoError(t, err)
		var b bytes.Buffer
		require.NoError(t, issue.Write(&b, folder, r, issue.Carried{Level: evidence.Hashes}))
		require.NoError(t, folder.Close())
		result := run(t, b.Bytes(), day)
		assert.True(t, result.Holds(), "%s: %v", day, result.Layers)
	}
}

// A front page as long as it can be: the statements are looked for where they stand.
func TestALongFrontPageAgreesWithTheResults(t *testing.T) {
	folder, r := openDay(t)
	r.Sheet.Laboratory.Address = strings.Repeat("Kaiveien 4, Tallholm\n", 40)
	for range 30 {
		r.Cells = append(r.Cells, r.Cells[0])
	}
	var b bytes.Buffer
	require.NoError(t, issue.Write(&b, folder, r, issue.Whole()))
	_, err := evidence.Verify(b.Bytes(), 1<<30)
	require.NoError(t, err)
}

func TestWithoutFilesAFolderIsNeeded(t *testing.T) {
	_, err := Run(written(t, issue.Carried{Level: evidence.Hashes}), Options{Program: program})
	assert.ErrorContains(t, err, "--day DIR")
	for _, other := range []string{"", "no report", "%PDF-1.7\n1 0 obj\n<</Creator (another program)>>\nendobj\n"} {
		_, err = Run([]byte(other), Options{Program: program})
		assert.ErrorIs(t, err, ErrNoReport)
	}
}

// forged writes a report whose parts were changed before it was put together, as
// somebody with a PDF library could.
func forged(t *testing.T, change func(r *report.Report, files []archive.Attachment)) []byte {
	t.Helper()
	folder, r := openDay(t)
	results, err := r.JSON()
	require.NoError(t, err)
	bundle, err := evidence.Gather(issue.Inputs(r), results, evidence.Files, 1<<30, func(path string) ([]byte, error) { return folder.Bytes(path, "evidence", 1<<30) })
	require.NoError(t, err)
	files := bundle.Attachments()
	for i := range files {
		files[i].Data = bytes.Clone(files[i].Data)
	}
	change(r, files)
	var b bytes.Buffer
	require.NoError(t, pdf.Write(&b, r, pdf.Attachments{Picture: folder.Picture, Files: files, Note: bundle.Note()}))
	return b.Bytes()
}

// find returns the attachment whose name ends so.
func find(t *testing.T, files []archive.Attachment, end string) *archive.Attachment {
	t.Helper()
	for i := range files {
		if strings.HasSuffix(files[i].Name, end) {
			return &files[i]
		}
	}
	t.Fatalf("no attachment ends in %s", end)
	return nil
}

func TestWhatIsTamperedWithIsCaughtInItsLayer(t *testing.T) {
	raise := func(t *testing.T, files []archive.Attachment) *archive.Attachment {
		log := find(t, files, "h1.csv")
		for i := range files {
			if strings.Contains(files[i].Name, "probe") && strings.HasSuffix(files[i].Name, "h1.csv") {
				log = &files[i]
			}
		}
		log.Data = bytes.Replace(log.Data, []byte("3.842"), []byte("3.999"), 1)
		return log
	}
	for _, test := range []struct {
		name, layer string
		change      func(t *testing.T, r *report.Report, files []archive.Attachment)
	}{
		{"a reading", "evidence", func(t *testing.T, _ *report.Report, files []archive.Attachment) { raise(t, files) }},
		{"a reading and its line of the manifest", "manifest", func(t *testing.T, _ *report.Report, files []archive.Attachment) {
			before := evidence.Digest(find(t, files, "probe%2Fh1.csv").Data)
			after := evidence.Digest(raise(t, files).Data)
			manifest := find(t, files, "manifest.sha256")
			manifest.Data = bytes.Replace(manifest.Data, []byte(before), []byte(after), 1)
		}},
		{"a reading, the manifest and the printed digest", "results", func(t *testing.T, r *report.Report, files []archive.Attachment) {
			before := evidence.Digest(find(t, files, "probe%2Fh1.csv").Data)
			after := evidence.Digest(raise(t, files).Data)
			manifest := find(t, files, "manifest.sha256")
			manifest.Data = bytes.Replace(manifest.Data, []byte(before), []byte(after), 1)
			r.ManifestDigest = evidence.Digest(manifest.Data)
		}},
		{"a file taken out", "evidence", func(t *testing.T, _ *report.Report, files []archive.Attachment) {
			find(t, files, "v1.csv").Name = "day%2Fother.csv"
		}},
		{"a file whose name leads out", "manifest", func(t *testing.T, r *report.Report, files []archive.Attachment) {
			find(t, files, "v1.csv").Name = "day%2F..%2Fv1.csv"
			manifest := find(t, files, "manifest.sha256")
			manifest.Data = bytes.Replace(manifest.Data, []byte("  probe/v1.csv"), []byte("  ../v1.csv"), 1)
			r.ManifestDigest = evidence.Digest(manifest.Data)
		}},
		{"a state in the results", "front page", func(t *testing.T, _ *report.Report, files []archive.Attachment) {
			results := find(t, files, "results.json")
			results.Data = bytes.Replace(results.Data, []byte(`"steps_met": 44`), []byte(`"steps_met": 43`), 1)
		}},
		{"a figure in the results", "results", func(t *testing.T, _ *report.Report, files []archive.Attachment) {
			var document map[string]any
			results := find(t, files, "results.json")
			require.NoError(t, json.Unmarshal(results.Data, &document))
			visit := document["runs"].([]any)[0].(map[string]any)["visits"].([]any)[3].(map[string]any)
			visit["sustained_v_per_m"] = visit["sustained_v_per_m"].(float64) * 1.0001
			var err error
			results.Data, err = json.Marshal(document)
			require.NoError(t, err)
		}},
		{"the behaviour on page 1", "front page", func(_ *testing.T, r *report.Report, _ []archive.Attachment) {
			r.Behaviour = "The article withstood twice the field."
		}},
		{"a margin on a page", "pages", func(_ *testing.T, r *report.Report, _ []archive.Attachment) {
			r.Cells[0].Statistics.LeastMargin.Value += 1
		}},
		{"the results made empty", "front page", func(t *testing.T, _ *report.Report, files []archive.Attachment) {
			find(t, files, "results.json").Data = []byte("{}")
		}},
		{"a verdict in the results and the sentence on page 1", "results", func(t *testing.T, r *report.Report, files []archive.Attachment) {
			results := find(t, files, "results.json")
			results.Data = bytes.Replace(results.Data, []byte(r.Behaviour), []byte("The article withstood all."), 1)
			r.Behaviour = "The article withstood all."
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			document := forged(t, func(r *report.Report, files []archive.Attachment) { test.change(t, r, files) })
			result := run(t, document, "")
			assert.False(t, result.Holds())
			assert.Equal(t, test.layer, failing(result), "%v", result.Layers)
		})
	}
}

func TestAByteAnywhereIsCaught(t *testing.T) {
	document := written(t, issue.Whole())
	other := program
	other.Version = "other" // which cannot compare the pages
	random := mathrand.New(mathrand.NewPCG(9, 10))
	for i := range 400 {
		changed := bytes.Clone(document)
		at := random.IntN(len(changed))
		if i < 20 {
			at = i // the header
		} else if i < 40 {
			at = len(changed) - 1 - i // trailer and end mark
		}
		changed[at] ^= byte(1 + random.IntN(255))
		for _, p := range []report.Program{program, other} {
			result, err := Run(changed, Options{Program: p})
			require.NoError(t, err)
			require.Equal(t, "file", failing(result), "byte %d of %d: %v", at, len(document), result.Layers)
		}
	}
}

func TestACutFileIsCaught(t *testing.T) {
	document := written(t, issue.Whole())
	for _, percent := range []int{40, 90, 99} {
		result, err := Run(document[:len(document)*percent/100], Options{Program: program})
		if err != nil {
			assert.ErrorIs(t, err, ErrNoReport, "what is left may say nothing of its maker")
			continue
		}
		assert.Equal(t, "file", failing(result))
	}
}

// TestWhatAnAuditCannotShow holds the limits that audit states: whoever makes a
// report anew from other records makes one that holds. A signature cannot be
// made anew.
func TestWhatAnAuditCannotShow(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(exampleDay)))
	log := filepath.Join(dir, "probe", "h1.csv")
	data, err := os.ReadFile(log)
	require.NoError(t, err)
	require.Contains(t, string(data), "3.842")
	require.NoError(t, os.Remove(log))
	require.NoError(t, os.WriteFile(log, bytes.Replace(data, []byte("3.842"), []byte("3.999"), 1), 0o600))
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	r, err := report.Build(folder, program)
	require.NoError(t, err)
	var anew bytes.Buffer
	require.NoError(t, issue.Write(&anew, folder, r, issue.Whole()))
	assert.True(t, run(t, anew.Bytes(), "").Holds())

	document := written(t, issue.Whole())
	signed, err := signature.Sign(document, throwAwayKey(t), signature.Details{Time: time.Now()})
	require.NoError(t, err)
	taken := append(bytes.Clone(anew.Bytes()), signed[len(document):]...)
	assert.Equal(t, "signature", failing(run(t, taken, "")), "the signature of one report does not serve another")
}

func TestARevisionHoldsWithTheReportThatItReplaces(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS(exampleDay)))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "old.pdf"), written(t, issue.Whole()), 0o600))
	sheet := filepath.Join(dir, "job.toml")
	data, err := os.ReadFile(sheet)
	require.NoError(t, err)
	first := regexp.MustCompile(`(?m)^revision\s*=\s*0$`)
	require.Regexp(t, first, string(data))
	require.NoError(t, os.Remove(sheet))
	require.NoError(t, os.WriteFile(sheet, first.ReplaceAll(data,
		[]byte("revision = 1\nreason = \"serial number\"\nreplaces = \"NT-9101, revision 0\"\nreplaces_file = \"old.pdf\"")), 0o600))
	folder, err := ingest.Open(dir)
	require.NoError(t, err)
	defer folder.Close()
	r, err := report.Build(folder, program)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, issue.Write(&b, folder, r, issue.Whole()))
	assert.NotEmpty(t, r.Changes)
	result := run(t, b.Bytes(), "")
	assert.True(t, result.Holds(), "%v", result.Layers)
}

func TestWhatIsAddedIsCaught(t *testing.T) {
	document := append(written(t, issue.Whole()), "\n% a note\n"...)
	assert.Equal(t, "signature", failing(run(t, document, "")))
}

func throwAwayKey(t *testing.T) *signature.Key {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "S. Berge, Tallholm EMC Laboratory"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), KeyUsage: x509.KeyUsageDigitalSignature}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &private.PublicKey, private)
	require.NoError(t, err)
	certificate, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	file, err := pkcs12.Modern.Encode(private, certificate, nil, "secret")
	require.NoError(t, err)
	key, err := signature.ReadKey(file, "secret")
	require.NoError(t, err)
	return key
}

func TestASignedReportHoldsUntilSomethingIsAdded(t *testing.T) {
	document := written(t, issue.Whole())
	signed, err := signature.Sign(document, throwAwayKey(t), signature.Details{Time: time.Now()})
	require.NoError(t, err)
	assert.True(t, bytes.HasPrefix(signed, document))
	result := run(t, signed, "")
	assert.True(t, result.Holds(), "%v", result.Layers)
	assert.True(t, result.Signed)

	changed := bytes.Clone(signed)
	changed[len(document)/2] ^= 1
	result, err = Run(changed, Options{Program: program})
	require.NoError(t, err)
	assert.False(t, result.Holds())
	assert.Equal(t, "signature", failing(run(t, append(bytes.Clone(signed), "x"...), "")))
}

func TestAnotherVersionCannotShowThePages(t *testing.T) {
	document := written(t, issue.Whole())
	other := program
	other.Version = "other"
	result, err := Run(document, Options{Program: other})
	require.NoError(t, err)
	assert.Equal(t, "pages", failing(result))
	assert.Equal(t, NotShown, result.Layers[len(result.Layers)-1].State)
	assert.False(t, result.Fails())
	assert.False(t, result.Holds())
}

func TestDifferencesAreNamedAsAReaderLooksForThem(t *testing.T) {
	parse := func(text string) (value any) {
		require.NoError(t, json.Unmarshal([]byte(text), &value))
		return value
	}
	for _, test := range []struct {
		name, report, again string
		other               bool // another version made the report
		where, how          string
	}{
		{name: "the same", report: `{"day": "demonstrated", "n": 1}`, again: `{"n": 1, "day": "demonstrated"}`},
		{name: "the last digit", report: `{"x": 1.0000000000000002}`, again: `{"x": 1}`},
		{name: "a figure", report: `{"runs": [{"id": "H1", "visits": [{"frequency_hz": 30e6, "held_s": 3}]}]}`,
			again: `{"runs": [{"id": "H1", "visits": [{"frequency_hz": 30e6, "held_s": 2}]}]}`,
			where: "runs[H1].visits[1, at 30 MHz].held_s", how: "the report says 3, the evaluation gives 2"},
		{name: "a figure more", report: `{"x": {}}`, again: `{"x": {"vswr": 2}}`, where: "x.vswr", how: "the report says nothing, the evaluation gives 2"},
		{name: "a figure more than another version", report: `{"x": {}}`, again: `{"x": {"vswr": 2}}`, other: true, where: "x.vswr", how: "the report says nothing, the evaluation gives 2"},
		{name: "nothing at all of another version", report: `{}`, again: `{"day": "not demonstrated"}`, other: true, where: "day", how: "the report says nothing, the evaluation gives not demonstrated"},
		{name: "a key that was added since", report: `{"x": {}}`, again: `{"x": {"draft": false}}`, other: true},
		{name: "a figure less", report: `{"x": {"vswr": 2}}`, again: `{"x": {}}`, other: true, where: "x.vswr", how: "the report says 2, the evaluation gives nothing"},
		{name: "a sentence", report: `{"answer": "met"}`, again: `{"answer": "shown"}`, where: "answer", how: "the report says met, the evaluation gives shown"},
		{name: "a sentence in another version", report: `{"answer": "met"}`, again: `{"answer": "shown"}`, other: true},
		{name: "a list", report: `[1, 2]`, again: `[1]`, how: "the report has 2 entries, the evaluation gives 1"},
		{name: "another kind", report: `{"x": [1]}`, again: `{"x": "1"}`, where: "x", how: "the report says [1], the evaluation gives 1"},
	} {
		c := comparison{otherVersion: test.other}
		c.compare("", parse(test.report), parse(test.again))
		assert.Equal(t, test.where, c.where, test.name)
		assert.Equal(t, test.how, c.how, test.name)
	}
}
