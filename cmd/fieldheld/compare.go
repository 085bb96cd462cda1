package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"fieldheld/ingest/regular"
	"fieldheld/report"
	"fieldheld/report/compare"
)

func newCompare() *cobra.Command {
	return &cobra.Command{
		Use:   "compare OLD.pdf NEW.pdf",
		Short: "List what changed from one report to another",
		Long: `compare lists what changed between two reports: verdicts, figures, findings, input
files and the text of the job sheet. Both have to carry their evidence, at least
as hashes. A new revision lists the same changes by itself where its job sheet
names the old report: [report] replaces_file = "...".

Exit code: 0 whatever changed, 2 where the reports cannot be compared.`,
		Example: "  fieldheld compare report.pdf report.pdf",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return errors.New("compare needs two reports: fieldheld compare OLD.pdf NEW.pdf")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			var documents [2][]byte
			for i := range documents {
				data, err := regular.Read(args[i], largestReport)
				if err != nil {
					return fmt.Errorf("the report cannot be read: %w", err)
				}
				documents[i] = data
			}
			changes, err := compare.Reports(documents[0], documents[1])
			if err != nil {
				return err
			}
			p := newPrinter(cmd.OutOrStdout())
			p.changes(changes)
			return p.err
		},
	}
}

func (p *printer) changes(changes []report.Change) {
	if len(changes) == 0 {
		p.head("Nothing changed.")
		return
	}
	p.head("Changes: %d", len(changes))
	for _, c := range changes {
		p.line("")
		p.wrapped(2, c.What)
		if c.Before != "" {
			p.wrapped(4, "- "+c.Before)
		}
		if c.After != "" {
			p.wrapped(4, "+ "+c.After)
		}
	}
}
