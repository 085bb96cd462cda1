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
	"fieldheld/report/render/layout"
	"fieldheld/report/seal/archive"
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
	types, err := layout.NewTypefaces()
	if err != nil {
		return err
	}
	e := &edition{report: r, attachments: a, types: types, photos: map[string]*photo{}}
	found, err := layout.Settle(func(earlier *layout.Pagination) (*layout.Pagination, error) {
		_, found, err := e.layOut(earlier, false)
		return found, err
	})
	if err != nil {
		return fmt.Errorf("lay out the report: %w", err)
	}
	b, drawn, err := e.layOut(found, true)
	if err != nil {
		return err
	}
	if err := missingGlyphs(types, func(c rune) []string { return fieldsWith(r, c) }); err != nil {
		return err
	}
	if !drawn.Equal(found) {
		return fmt.Errorf("the pages of the report moved while it was drawn; this is a fault of the program")
	}
	var made bytes.Buffer
	if err := b.Output(&made); err != nil {
		return fmt.Errorf("draw the report: %w", err)
	}
	d := description(r, a.Evidence)
	d.Structure = b.Structure()
	return archive.Write(w, made.Bytes(), d, b.images, a.Files)
}

// edition is what all layouts of a report share.
type edition struct {
	report      *report.Report
	attachments Attachments
	types       *layout.Typefaces
	photos      map[string]*photo // by file, once asked for
}

// book is a report while it is laid out.
type book struct {
	*layout.Flow
	*edition
	wanted map[report.VisitRef]bool // visits that a finding leads to
	images []archive.Image
}

// layOut lays the whole report out, and draws it where draw is set.
func (e *edition) layOut(earlier *layout.Pagination, draw bool) (*book, *layout.Pagination, error) {
	r := e.report
	b := &book{edition: e, wanted: map[report.VisitRef]bool{}}
	for i := range r.Findings {
		b.wanted[r.Findings[i].Visit] = true
	}
	b.Flow = layout.Begin(layout.Options{Format: formatOf(r.Sheet), Typefaces: e.types, Furniture: furnitureOf(r), Prepare: clean, Earlier: earlier, Draw: draw})
	for _, section := range []func(){
		b.front, b.contents, b.article, b.requirement, b.setup, b.equipment, b.method, b.results,
		b.findings, b.behaviour, b.safety, b.steps, b.corrections, b.evidence,
	} {
		section()
	}
	found, err := b.End()
	if err != nil {
		return nil, nil, fmt.Errorf("draw the report: %w", err)
	}
	return b, found, nil
}

// formatOf is the format of the paper that the job sheet asks for.
func formatOf(sheet *report.Sheet) layout.Format {
	if sheet.Report.Page == layout.Letter.Name {
		return layout.Letter
	}
	return layout.A4
}

// furnitureOf is what stands on every page: laboratory, number and revision at the
// head, the article at the foot, and across the page that the report is a draft.
func furnitureOf(r *report.Report) layout.Furniture {
	f := layout.Furniture{HeadRight: "Test report " + reportName(r), HeadLeft: clean(r.Sheet.Laboratory.Name), Foot: clean(r.Sheet.Article.Name),
		Marking: clean(r.Sheet.Report.Marking)}
	if amended := r.Sheet.Report.Revision > 0; amended {
		f.HeadRight += " (amendment)"
	}
	if r.Draft() {
		f.HeadLeft, f.Watermark = "DRAFT  ·  "+f.HeadLeft, "DRAFT"
	}
	return f
}

// reportName is the name of the report: its number and revision.
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
		Language: "en-GB", Date: r.Sheet.Report.Issued, Fonts: layout.FontNames(),
		Identity: archive.Identity{Name: reportName(r), Draft: r.Draft(), Evidence: evidence, Digest: r.ManifestDigest},
	}
	if d.Date.IsZero() {
		d.Date = r.LastTest
	}
	if d.Date.IsZero() {
		d.Date = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // a date that depends on nothing
	}
	return d
}
