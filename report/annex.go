package report

import (
	"fmt"

	"fieldheld/ingest"
	"fieldheld/ingest/place"
	"fieldheld/report/seal/archive"
	"fieldheld/templates/wording"
)

// Annex is a document that goes with the report.
type Annex struct {
	Title, File string
	Kind        ingest.AnnexKind
	Pages       int // of a PDF; 0 of others
	Size        int64
	SHA256      string // hexadecimal
}

// Shown reports whether the annex is a page of the report; else it goes with it as
// a file.
func (a *Annex) Shown() bool { return a.Kind == ingest.PictureAnnex }

// annexes completes the annexes of the job sheet. The error is a *place.Error where
// the pages of a PDF cannot be counted: nobody could open it in years.
func annexes(folder *ingest.Folder, day *ingest.Day) ([]Annex, error) {
	var list []Annex
	var problems place.Messages
	for i := range day.Annexes {
		named := &day.Annexes[i]
		a := Annex{Title: named.Sheet.Title, File: named.Sheet.File, Kind: named.Kind}
		for _, file := range day.Files {
			if file.Path == a.File {
				a.Size, a.SHA256 = file.Size, file.SHA256
			}
		}
		if a.Kind == ingest.PDFAnnex {
			data, err := folder.Bytes(a.File, ingest.RoleAnnex, ingest.LargestAnnex)
			if err != nil {
				return nil, fmt.Errorf("reading the annex %s: %w", a.File, err)
			}
			if a.Pages, err = archive.CountPages(data); err != nil {
				problems.Add(place.Message{Place: named.Sheet.Place, Text: wording.Say("annex.unreadable", wording.Values{"file": a.File, "error": err})})
			}
		}
		list = append(list, a)
	}
	return list, problems.Err()
}
