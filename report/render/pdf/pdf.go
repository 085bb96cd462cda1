// Package pdf writes a report as an archival PDF file. It prints what the model
// says and decides nothing.
//
// A report is laid out more than once: first it is only measured, until the
// pages of all sections are known, then it is drawn. The same report gives the
// same bytes, on every machine and day.
package pdf

import (
	"bytes"
	"fmt"
	"io"
	"time"

	"fieldheld/report"
	"fieldheld/report/seal/archive"
	"fieldheld/templates/fonts"
)

// Attachments is what a report shows or carries besides the model.
type Attachments struct {
	// Photo returns the bytes of a photo that the job sheet names, by its path.
	// Where it is nil or fails, the report says that the photo is not shown.
	Photo func(file string) ([]byte, error)
	// Files are carried inside the report, in this order.
	Files []archive.Attachment
	// Note says in a sentence which evidence the report carries; "" for none.
	Note string
	// Evidence is the level of evidence that the report carries, for its metadata.
	Evidence string
}

// Write writes the report as PDF/A-3u. The error is a MissingGlyphs where the
// report holds characters that its fonts lack. Nothing is written then.
func Write(w io.Writer, r *report.Report, a Attachments) error {
	types, err := newTypefaces()
	if err != nil {
		return err
	}
	e := &edition{report: r, attachments: a, types: types, photos: map[string]*photo{}}
	found, err := e.measure()
	if err != nil {
		return err
	}
	b, err := e.layOut(found, true)
	if err != nil {
		return err
	}
	if err := types.err(func(c rune) []string { return fieldsWith(r, c) }); err != nil {
		return err
	}
	if !b.found.equal(found) {
		return fmt.Errorf("the pages of the report moved while it was drawn; this is a fault of the program")
	}
	var made bytes.Buffer
	if err := b.doc.Output(&made); err != nil {
		return fmt.Errorf("draw the report: %w", err)
	}
	return archive.Write(w, made.Bytes(), description(r, a.Evidence), b.images, a.Files)
}

// edition is what all layouts of a report share.
type edition struct {
	report      *report.Report
	attachments Attachments
	types       *typefaces
	photos      map[string]*photo // by file, once asked for
}

// measure lays the report out until its pages stand still. Where little would be
// left for the last page it tries other distances between the rows of the
// appendices, and takes the first that fills the page, or the best.
func (e *edition) measure() (*register, error) {
	const enough = 0.4
	var best *register
	for _, loose := range []float64{0, -1, 1, -1.6, 1.8} {
		found, err := e.settle(newRegister(loose))
		if err != nil {
			return nil, err
		}
		if best == nil || found.lastFill > best.lastFill {
			best = found
		}
		if best.lastFill >= enough {
			break
		}
	}
	return best, nil
}

// settle lays the report out until its pages stand still.
func (e *edition) settle(earlier *register) (*register, error) {
	const attempts = 6
	for range attempts {
		b, err := e.layOut(earlier, false)
		if err != nil {
			return nil, err
		}
		if b.found.equal(earlier) {
			return earlier, nil
		}
		earlier = b.found
	}
	return nil, fmt.Errorf("the pages of the report do not stand still after %d layouts; this is a fault of the program", attempts)
}

// equal reports whether two layouts put everything on the same pages.
func (r *register) equal(other *register) bool {
	if r.pages != other.pages || len(r.page) != len(other.page) || len(r.contents) != len(other.contents) {
		return false
	}
	for name, page := range r.page {
		if other.page[name] != page {
			return false
		}
	}
	return true
}

// book is a report while it is laid out.
type book struct {
	*flow
	*edition
	wanted map[report.VisitRef]bool // visits that a finding leads to
}

// layOut lays the whole report out, and draws it where draw is set.
func (e *edition) layOut(earlier *register, draw bool) (*book, error) {
	r, format := e.report, a4
	if r.Sheet.Report.Page == letter.name {
		format = letter
	}
	f := &flow{paper: newPaper(format, e.types, draw), found: newRegister(earlier.loose), earlier: earlier}
	b := &book{flow: f, edition: e, wanted: map[report.VisitRef]bool{}}
	for i := range r.Findings {
		b.wanted[r.Findings[i].Visit] = true
	}
	f.begun = b.furniture
	f.newPage()
	for _, section := range []func(){
		b.front, b.contents, b.article, b.requirement, b.setup, b.equipment, b.method, b.results,
		b.findings, b.behaviour, b.safety, b.steps, b.corrections, b.evidence,
	} {
		section()
	}
	b.found.lastFill = 1 - b.free()/(format.bottom()-bodyTop)
	if b.fault != nil {
		return nil, fmt.Errorf("draw the report: %w", b.fault)
	}
	return b, nil
}

// number is the name of the report: its number and revision.
func reportName(r *report.Report) string {
	number := clean(r.Sheet.Report.Number)
	if number == "" {
		number = "without number"
	}
	return fmt.Sprintf("%s, revision %d", number, r.Sheet.Report.Revision)
}

// description is what the file says of itself.
func description(r *report.Report, evidence string) archive.Document {
	d := archive.Document{
		Title: "Test report " + reportName(r), Author: clean(r.Sheet.Laboratory.Name),
		Subject:  "Radiated susceptibility: " + clean(r.Sheet.Article.Name),
		Keywords: "radiated susceptibility, field strength, test report",
		Creator:  r.Program.Name + " " + r.Program.Version, Producer: r.Program.Name + " " + r.Program.Version,
		Language: "en-GB", Date: r.Sheet.Report.Issued,
		Identity: archive.Identity{Name: reportName(r), Draft: r.Draft(), Evidence: evidence, Digest: r.ManifestDigest},
	}
	if d.Date.IsZero() {
		d.Date = r.LastTest
	}
	if d.Date.IsZero() {
		d.Date = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // a date that depends on nothing
	}
	for cut := range fonts.Cut(fonts.Cuts) {
		d.Fonts = append(d.Fonts, cut.Face().Name)
	}
	d.Fonts = append(d.Fonts, fonts.Regular.Fallback().Name, fonts.Bold.Fallback().Name)
	return d
}
