package audit

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report"
	"fieldheld/report/seal/archive"
	"fieldheld/report/seal/issue"
)

// savedAgain is a report as another program may leave it: another header, and no
// table of objects that could be believed.
func savedAgain(t *testing.T, document []byte) []byte {
	t.Helper()
	table := bytes.LastIndex(document, []byte("xref\n0 "))
	require.Positive(t, table)
	again := append([]byte("%PDF-1.5\n%\xBF\xF7\xA2\xFE\n"), document[15:table]...)
	return append(again, "trailer << /Root 1 0 R >>\nstartxref\n0\n%%EOF\n"...)
}

func stateOf(r *Result, name string) State {
	for _, l := range r.Layers {
		if l.Name == name {
			return l.State
		}
	}
	return -1
}

func TestAReportThatAnotherProgramSavedIsJudgedByItsEvidence(t *testing.T) {
	result := run(t, savedAgain(t, written(t, issue.Whole())), "")
	assert.False(t, result.Fails(), "%v", result.Layers)
	assert.False(t, result.Holds())
	for name, state := range map[string]State{"file": NotShown, "evidence": Holds, "inputs": Holds, "results": Holds, "pages": NotShown} {
		assert.Equal(t, state, stateOf(result, name), name)
	}
	assert.Equal(t, "demonstrated", result.Verdict)
	assert.Contains(t, result.Layers[0].Found, "pages and signature cannot be judged")
}

func TestEvidenceThatWasChangedOnTheWayIsCaught(t *testing.T) {
	for layer, change := range map[string]func(*report.Report, []archive.Attachment){
		"evidence": func(_ *report.Report, files []archive.Attachment) { find(t, files, "v1.csv").Data = []byte("1\n") },
		"attachments": func(_ *report.Report, files []archive.Attachment) {
			list := find(t, files, "attachments.sha256")
			list.Data = list.Data[:len(list.Data)/2]
		},
		"results": func(_ *report.Report, files []archive.Attachment) {
			results := find(t, files, "results.json")
			results.Data = bytes.Replace(results.Data, []byte(`"steps_met": 44`), []byte(`"steps_met": 43`), 1)
		},
	} {
		result := run(t, savedAgain(t, forged(t, change)), "")
		assert.Equal(t, Fails, stateOf(result, layer), "%v", result.Layers)
	}
}

func TestWhatHappenedToAFileIsSaid(t *testing.T) {
	document := written(t, issue.Whole())
	for _, test := range []struct {
		name, says string
		document   []byte
	}{
		{"cut", "the file is cut: it has no end mark", document[:len(document)*9/10]},
		{"a page without its evidence", "another program saved", bytes.ReplaceAll(savedAgain(t, document), []byte("/EF <<"), []byte("/EX <<"))},
	} {
		result := run(t, test.document, "")
		assert.Contains(t, result.Layers[0].Found, test.says, test.name)
		assert.Equal(t, Fails, result.Layers[0].State, test.name)
	}
	_, err := Run([]byte("%PDF-1.7\n1 0 obj\n<<>>\nendobj\ntrailer <</Encrypt 5 0 R>>\n%%EOF"), Options{Program: program})
	assert.ErrorIs(t, err, ErrEncrypted)
}
