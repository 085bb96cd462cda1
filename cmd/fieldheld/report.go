package main

import (
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"fieldheld/report/issue"
)

func newReport() *cobra.Command {
	var target string
	var with carriedFlags
	cmd := &cobra.Command{
		Use:   "report DAY",
		Short: "Evaluate a day and write the test report as PDF",
		Long: `report evaluates the day and writes the report. A report that lacks something that
a report needs is a DRAFT, and says on page 2 what is missing. An existing report
is only replaced by a complete new one.

Exit code: 0 demonstrated (also with accepted deviations), 1 not demonstrated (the
report is written all the same), 2 the input or the call is wrong.`,
		Example: "  fieldheld report 2026-11-18\n  fieldheld report 2026-11-18 -o NT-0417.pdf",
		Args:    takes("day's folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			carried, err := with.carried()
			if err != nil {
				return err
			}
			r, folder, err := buildReport(args[0], cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer folder.Close()
			if target == "" {
				target = filepath.Join(args[0], "report.pdf")
			}
			if err := save(target, func(w io.Writer) error { return issue.Write(w, folder, r, carried) }); err != nil {
				return err
			}
			if err := printReportSummary(cmd.OutOrStdout(), r); err != nil {
				return err
			}
			fmt.Fprintf(cmd.ErrOrStderr(), "wrote %s\n", printable(target))
			return verdict(r)
		},
	}
	with.add(cmd)
	cmd.Flags().StringVarP(&target, "output", "o", "", "write the report to `FILE` (default DAY/report.pdf)")
	return cmd
}
