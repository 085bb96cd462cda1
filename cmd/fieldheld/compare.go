package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"fieldheld/report"
	"fieldheld/report/seal/audit"
	"fieldheld/report/seal/compare"
)

func newCompare() *cobra.Command {
	return &cobra.Command{
		Use:   "compare OLD.pdf NEW.pdf",
		Short: "List what changed from one report to another",
		Long: `compare lists what changed between two reports: verdicts, figures, findings, input
files and the text of the job sheet. Both have to carry their evidence, at least
as hashes, and are audited first: a report that does not hold is not compared. A new revision lists the same changes by itself where its job sheet
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
				data, err := readReport(args[i])
				if err != nil {
					return err
				}
				if err := comparable(args[i], data); err != nil {
					return err
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

// comparable reports why a report is no ground for a comparison: it is audited
// first, as far as it carries what that needs.
func comparable(path string, document []byte) error {
	result, err := audit.Run(document, audit.Options{Program: program(), Inside: true})
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	for _, layer := range result.Layers {
		if layer.State == audit.Fails {
			return fmt.Errorf("%s does not hold, so that nothing is compared: %s: %s", path, layer.Name, layer.Found)
		}
	}
	return nil
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
