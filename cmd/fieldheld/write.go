package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/evidence"
	"fieldheld/report/pdf"
)

// carried says how much of the evidence a report carries.
type carried struct {
	level string
	limit int64 // MB
}

// flags adds the flags that choose it.
func (c *carried) flags(cmd *cobra.Command) {
	var levels []string
	for _, level := range evidence.Levels() {
		levels = append(levels, string(level))
	}
	cmd.Flags().StringVar(&c.level, "evidence", string(evidence.Files), "what the report carries as attachments: "+strings.Join(levels, ", "))
	cmd.Flags().Int64Var(&c.limit, "evidence-limit", evidence.DefaultLimit>>20, "size of all input files, in `MB`, above which it carries hashes only")
}

// wholeEvidence carries everything, as the demo does.
func wholeEvidence() carried {
	return carried{level: string(evidence.Files), limit: evidence.DefaultLimit >> 20}
}

// writeReport writes the report of a day with its evidence.
func writeReport(w io.Writer, folder *ingest.Folder, r *report.Report, c carried) error {
	bundle, err := gather(folder, r, c)
	if err != nil {
		return err
	}
	return pdf.Write(w, r, pdf.Attachments{Photo: folder.Photo, Files: bundle.Attachments(), Note: bundle.Note()})
}

// gather puts together what the report carries.
func gather(folder *ingest.Folder, r *report.Report, c carried) (*evidence.Bundle, error) {
	level := evidence.Level(c.level)
	known := false
	for _, l := range evidence.Levels() {
		known = known || l == level
	}
	if !known {
		return nil, fmt.Errorf("--evidence %s is not known; choose %v", c.level, evidence.Levels())
	}
	if c.limit < 0 {
		return nil, fmt.Errorf("--evidence-limit %d is below zero", c.limit)
	}
	results, err := r.JSON()
	if err != nil {
		return nil, err
	}
	var inputs []evidence.Input
	for _, f := range r.Files {
		inputs = append(inputs, evidence.Input{Path: f.Path, Roles: f.Roles, Size: f.Size, SHA256: f.SHA256})
	}
	read := func(path string) ([]byte, error) { return folder.Bytes(path, "evidence", math.MaxInt64-1) }
	return evidence.Gather(inputs, results, level, c.limit<<20, read)
}
