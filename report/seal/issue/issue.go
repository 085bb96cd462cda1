// Package issue writes a report together with the evidence that it carries. The
// report command and the audit use the same path, so that an audit can write a
// report again and compare the bytes.
package issue

import (
	"fmt"
	"io"
	"math"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/render/pdf"
	"fieldheld/report/seal/compare"
	"fieldheld/report/seal/evidence"
)

// Carried says how much of the evidence a report carries.
type Carried struct {
	Level evidence.Level
	Limit int64 // bytes of all input files together above which it carries hashes only
}

// Whole carries every file, up to the usual limit.
func Whole() Carried { return Carried{Level: evidence.Files, Limit: evidence.DefaultLimit} }

// Write writes the report of the day in the folder, as PDF, with its evidence.
func Write(w io.Writer, folder *ingest.Folder, r *report.Report, c Carried) error {
	if err := change(folder, r); err != nil {
		return err
	}
	results, err := r.JSON()
	if err != nil {
		return err
	}
	read := func(path string) ([]byte, error) { return folder.Bytes(path, "evidence", math.MaxInt64-1) }
	bundle, err := evidence.Gather(Inputs(r), results, c.Level, c.Limit, read)
	if err != nil {
		return err
	}
	return pdf.Write(w, r, pdf.Attachments{Picture: folder.Picture, Files: bundle.Attachments(), Carried: bundle.Carried(), Note: bundle.Note(), Evidence: string(bundle.Level)})
}

// Inputs lists the input files of a report as its evidence names them.
func Inputs(r *report.Report) []evidence.Input {
	var inputs []evidence.Input
	for _, f := range r.Files {
		inputs = append(inputs, evidence.Input{Path: f.Path, Roles: f.Roles, Size: f.Size, SHA256: f.SHA256})
	}
	return inputs
}

// change fills in what a revision changes, where the job sheet names the file of
// the report that it replaces.
func change(folder *ingest.Folder, r *report.Report) error {
	entry := r.Sheet.Report.ReplacesFile
	if entry == nil {
		return nil
	}
	old, err := folder.Bytes(entry.File, "replaced report", math.MaxInt64-1)
	if err != nil {
		return err
	}
	read := func(path string) ([]byte, error) { return folder.Bytes(path, "job sheet", math.MaxInt64-1) }
	r.Changes, err = compare.With(old, r, read)
	if err != nil {
		return fmt.Errorf("%s: %w", entry.Place, err)
	}
	return nil
}
