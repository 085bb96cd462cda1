package report_test

import (
	"encoding/json"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// common are the packages of this module that any other may import.
var common = []string{"ingest/place", "ingest/quantity", "templates/wording"}

// allowed says which packages of this module a package may import, besides the
// common ones. A package that is not listed may not exist; cmd may import
// anything. Data flows one way: ingest → report → PDF.
var allowed = map[string][]string{
	"ingest/place":               nil,
	"ingest/quantity":            nil,
	"ingest/document":            nil,
	"ingest/table":               nil,
	"ingest/regular":             nil,
	"ingest/zone":                nil,
	"ingest/spelling":            nil,
	"ingest/notation":            {"ingest/spelling", "ingest/zone"},
	"ingest/record":              {"ingest/table", "ingest/notation", "ingest/spelling"},
	"ingest/jobsheet":            {"ingest/table", "ingest/document", "ingest/zone"},
	"ingest":                     {"ingest/record", "ingest/jobsheet", "ingest/table", "ingest/regular"},
	"report/verdict/uncertainty": nil,
	"report/verdict/requirement": {"templates", "report/verdict/uncertainty", "ingest/document", "ingest/jobsheet"},
	"report/verdict/evaluate":    {"ingest", "ingest/record", "ingest/jobsheet", "report/verdict/requirement", "report/verdict/uncertainty"},
	"report/verdict/check":       {"ingest", "ingest/record", "ingest/jobsheet", "ingest/table", "report/verdict/requirement", "report/verdict/evaluate", "report/verdict/uncertainty"},
	"report":                     {"ingest", "ingest/record", "ingest/jobsheet", "report/verdict/requirement", "report/verdict/evaluate", "report/verdict/uncertainty", "report/verdict/check", "report/seal/evidence", "report/plan"},
	"report/plan":                {"ingest", "ingest/record", "ingest/jobsheet", "report/verdict/requirement", "report/verdict/uncertainty"},
	"charts":                     nil,
	"templates":                  nil,
	"templates/fonts":            nil,
	"templates/wording":          nil,
	"templates/demoday":          {"report/render/book", "ingest/table", "ingest/record", "ingest/jobsheet", "ingest/zone"},
	"report/seal/evidence":       {"report/seal/archive"},
	"report/render/layout":       {"report/structure", "charts", "templates/fonts"},
	"report/render/pdf":          {"report", "report/plan", "report/render/layout", "charts", "report/seal/archive"},
	"report/seal/archive":        {"report/structure"},
	"report/seal/signature":      {"report/seal/archive"},
	"report/structure":           nil,
	"report/wholefile":           nil,
	"report/seal/issue":          {"ingest", "ingest/regular", "report", "report/seal/compare", "report/seal/evidence", "report/render/pdf", "report/seal/archive"},
	"report/seal/compare":        {"report", "report/seal/evidence"},
	"report/seal/audit":          {"ingest", "report", "report/seal/evidence", "report/seal/issue", "report/seal/archive", "report/seal/signature"},
	"report/render/workbook":     {"report", "report/render/book"},
	"report/render/book":         nil,
	"ingest/watch":               nil,
	"templates/newday":           {"ingest", "ingest/jobsheet", "ingest/record", "ingest/table"},
	"templates/licences":         {"templates/fonts"},
	"cmd/fieldheld":              nil, // anything
}

// onlyUser names the packages that alone may import a library.
var onlyUser = map[string][]string{
	"github.com/xuri/excelize/v2":  {"ingest/table", "report/render/book"},
	"github.com/go-pdf/fpdf":       {"report/render/layout"},
	"gonum.org/v1/plot":            {"charts"},
	"github.com/fsnotify/fsnotify": {"ingest/watch"},
	"github.com/bep/imagemeta":     {"report/render/pdf"},
}

func TestPackagesImportWhatTheDesignAllows(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "fieldheld/...").Output()
	require.NoError(t, err)
	decoder := json.NewDecoder(strings.NewReader(string(out)))
	count := 0
	unused := map[string]map[string]bool{}
	for name, list := range allowed {
		unused[name] = map[string]bool{}
		for _, inner := range list {
			unused[name][inner] = true
		}
	}
	for {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := decoder.Decode(&p); err == io.EOF {
			break
		} else {
			require.NoError(t, err)
		}
		count++
		name := strings.TrimPrefix(p.ImportPath, "fieldheld/")
		checkImports(t, name, p.Imports)
		for _, path := range p.Imports {
			delete(unused[name], strings.TrimPrefix(path, "fieldheld/"))
		}
	}
	for name, list := range unused {
		assert.Empty(t, list, "%s is allowed what it does not import", name)
	}
	assert.Greater(t, count, 10)
}

func checkImports(t *testing.T, name string, imports []string) {
	list, known := allowed[name]
	assert.True(t, known, "package %s is not in the table of allowed imports", name)
	for _, path := range imports {
		for library, users := range onlyUser {
			if path == library || strings.HasPrefix(path, library+"/") {
				assert.Contains(t, users, name, "%s imports %s", name, path)
			}
		}
		inner, ours := strings.CutPrefix(path, "fieldheld/")
		if !ours || name == "cmd/fieldheld" || slices.Contains(common, inner) {
			continue
		}
		assert.Contains(t, list, inner, "%s imports %s", name, inner)
	}
}
