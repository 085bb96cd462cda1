package issue

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"

	"fieldheld/ingest/regular"
	"fieldheld/report"
	"fieldheld/report/seal/archive"
)

// FileName is the name under which a report is kept: its number and revision.
func FileName(r *report.Report) string {
	number := strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', strings.ContainsRune("-_.", c):
			return c
		}
		return '-'
	}, r.Sheet.Report.Number)
	if number = strings.Trim(number, "-."); number == "" {
		number = "report"
	}
	return fmt.Sprintf("%s-r%d.pdf", number, r.Sheet.Report.Revision)
}

// largestOld is how much of a file is looked at to see whether it is a report.
const largestOld = 1 << 30

// MayReplace reports whether a file may be written to a path. A report that was
// issued or signed stays (ISO/IEC 17025:2017, 7.8.8): it is told by what it says of
// itself, not by its pages. A draft was not issued. What cannot be looked at, and a
// PDF that cannot be judged, stay as well. Writing the same bytes again replaces
// nothing, nor does adding to their end, as a signature does.
func MayReplace(path string, made []byte) error {
	file, err := regular.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("%s would be replaced and cannot be looked at: %w", path, err)
	}
	defer file.Close()
	old, err := io.ReadAll(io.LimitReader(file, largestOld))
	if err != nil {
		return fmt.Errorf("looking at %s, which would be replaced: %w", path, err)
	}
	if !bytes.HasPrefix(old, []byte("%PDF")) || len(made) > 0 && bytes.HasPrefix(made, old) {
		return nil
	}
	is, found, err := archive.IdentityOf(old)
	switch {
	case err != nil && !archive.OurForm(old):
		return fmt.Errorf("%s is a PDF that cannot be judged, and may be an issued report; name another file, or say --replace-issued where the command has it", path)
	case err != nil:
		return fmt.Errorf("%s may be an issued report and cannot be judged: %w", path, err)
	case !found, is.Draft && !signed(old):
		return nil
	}
	what := "an issued report"
	if signed(old) {
		what = "a signed report"
	}
	if is.Name != "" {
		what += fmt.Sprintf(" (%s)", is.Name)
	}
	return errors.New(path + " is " + what + "; raise the revision in the job sheet, with reason and replaces, so that the new one has a name of its own, or say --replace-issued")
}

// signed reports whether something was written behind the end of the report, as a
// signature is.
func signed(document []byte) bool { return bytes.Count(document, []byte("%%EOF")) > 1 }
