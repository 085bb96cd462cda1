package issue

import (
	"bytes"
	"fmt"
	"os"
	"strings"

	"fieldheld/report"
	"fieldheld/report/evidence"
	"fieldheld/report/pdf/archive"
)

// Conflict reports whether writing the new report to a path would replace an
// issued report that has the same number and revision and another content
// (ISO/IEC 17025:2017, 7.8.8). A draft was not issued, and a file that is no
// report is not this package's business.
func Conflict(path string, made []byte, r *report.Report) error {
	old, err := os.ReadFile(path)
	if err != nil {
		return nil // there is nothing to replace, or writing will say why not
	}
	bundle, err := evidence.Extract(old, 1<<40)
	if err != nil || bytes.Equal(old[:bundle.End], made) && len(old) == bundle.End {
		return nil
	}
	pages, err := archive.Texts(old)
	if err != nil || len(pages) == 0 {
		return nil
	}
	first, signed := archive.PageText(pages[0]), len(old) > bundle.End
	name := fmt.Sprintf("Test report %s, revision %d", r.Sheet.Report.Number, r.Sheet.Report.Revision)
	if !strings.Contains(first, name) || strings.Contains(first, "DRAFT") && !signed {
		return nil
	}
	return fmt.Errorf("%s is an issued report with the same number and revision (%s) and another content, or a signature; "+
		"raise the revision in the job sheet, with reason and replaces, or say --replace-issued", path, strings.TrimPrefix(name, "Test report "))
}
