package audit

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report"
)

// A laboratory audits its reports for as long as it keeps them. A report of every
// released version is kept in testdata/reports; the program as it is now judges
// each, but for the pages, which only the version that made it can set again.
func TestReportsOfReleasedVersionsAreJudged(t *testing.T) {
	kept, err := filepath.Glob("../../../testdata/reports/fieldheld-*.pdf")
	require.NoError(t, err)
	require.NotEmpty(t, kept)
	for _, path := range kept {
		document, err := os.ReadFile(path)
		require.NoError(t, err)
		now := report.Program{Name: "fieldheld", Version: "a later one", RuleSet: "2.0"}
		result, err := Run(document, Options{Program: now})
		require.NoError(t, err, path)
		version := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "fieldheld-"), ".pdf")
		judged := map[string]State{}
		for _, l := range result.Layers {
			judged[l.Name] = l.State
			if l.Name == "pages" {
				assert.Contains(t, l.Found, version, "the version that made it is named")
				assert.NotEqual(t, Holds, l.State, path)
			} else {
				assert.Equal(t, Holds, l.State, "%s: %s: %s", path, l.Name, l.Found)
			}
		}
		for _, layer := range []string{"file", "signature", "manifest", "front page", "evidence", "inputs", "results", "pages"} {
			assert.Contains(t, judged, layer, path)
		}

		document[len(document)/2] ^= 1
		if result, err = Run(document, Options{Program: now}); err == nil {
			assert.False(t, result.Holds(), "%s, with one bit turned", path)
		}
	}
}
