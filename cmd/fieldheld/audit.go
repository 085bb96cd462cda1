package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"fieldheld/ingest/regular"
	"fieldheld/report/audit"
)

func newAudit() *cobra.Command {
	var day string
	cmd := &cobra.Command{
		Use:   "audit REPORT.pdf",
		Short: "Say whether a report holds: digests, evaluation, pages, signature",
		Long: `audit takes the evidence out of a report, checks every digest, evaluates the day
again, compares every state and figure, writes the report again and compares the
bytes. It answers layer by layer. A report without its input files is audited
against the day's folder: --day DIR.

Exit code: 0 every layer holds, 1 one does not hold or cannot be shown, 2 the
file is no report or the call is wrong.`,
		Example: "  fieldheld audit report.pdf\n  fieldheld audit report.pdf --day 2026-11-18",
		Args:    takes("report"),
		RunE: func(cmd *cobra.Command, args []string) error {
			document, err := regular.Read(args[0], largestReport)
			if err != nil {
				return fmt.Errorf("the report cannot be read: %w", err)
			}
			result, err := audit.Run(document, day, program())
			if err != nil {
				return fmt.Errorf("%s: %w", args[0], err)
			}
			if err := printAudit(cmd.OutOrStdout(), result); err != nil {
				return err
			}
			if !result.Holds() {
				return errNotDemonstrated
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&day, "day", "", "the day's folder, `DIR`, for a report that does not carry its files")
	return cmd
}

func printAudit(out io.Writer, r *audit.Result) error {
	p := newPrinter(out)
	answer := "NOT ALL OF THE REPORT COULD BE SHOWN TO HOLD"
	switch {
	case r.Fails():
		answer = "THE REPORT DOES NOT HOLD"
	case r.Holds():
		answer = "THE REPORT HOLDS"
	}
	if r.Number != "" {
		answer += ": " + r.Number
	}
	p.head("%s", answer)
	p.line("")
	for _, layer := range r.Layers {
		p.line("%s %-11s %s", map[audit.State]string{audit.Holds: "[#]", audit.Fails: "[/]", audit.NotShown: "[ ]"}[layer.State], layer.Name, layer.State)
		p.wrapped(16, layer.Found)
	}
	p.line("")
	if r.Signed {
		p.wrapped(0, "The signature shows that nothing was changed since it was made. Whether the records inside are what the instruments wrote, no audit of a file can prove.")
	} else {
		p.wrapped(0, "Without a signature this shows that the report agrees with the evidence inside it, not who made either: whoever can write files can make both anew. Nor can any audit prove that the records are what the instruments wrote.")
	}
	return p.err
}
