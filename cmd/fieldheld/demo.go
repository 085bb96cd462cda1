package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"fieldheld/report"
	"fieldheld/report/seal/issue"
	"fieldheld/report/wholefile"
	"fieldheld/templates/demoday"
)

// demoFolder is where the demo goes when no folder is named.
const demoFolder = "demo-day"

func newDemo() *cobra.Command {
	return &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Write a made-up day and its report",
		Long: `demo writes a complete made-up test day (by default into the folder demo-day) and
its report, so that you can see what goes in and what comes out. Names, companies
and data are invented. The folder must not exist yet, or be empty.`,
		Example: "  fieldheld demo\n  fieldheld demo my-demo",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := demoFolder
			if len(args) == 1 {
				dir = args[0]
			}
			if err := mustBeEmpty(dir); err != nil {
				return err
			}
			files, err := demoday.Demo().Files()
			if err != nil {
				return fmt.Errorf("making the demo: %w", err)
			}
			if err := writeDay(dir, files); err != nil {
				return fmt.Errorf("writing the demo: %w", err)
			}
			r, folder, err := buildReport(dir, cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer folder.Close()
			target := filepath.Join(dir, "report.pdf")
			written := wholefile.File{Path: target, Write: func(w io.Writer) error { return issue.Write(w, folder, r, issue.Whole()) }}
			if err := wholefile.Save(written); err != nil {
				return err
			}
			return printDemo(cmd.OutOrStdout(), dir, target, r)
		},
	}
}

// mustBeEmpty reports an error where a folder exists and holds anything.
func mustBeEmpty(dir string) error {
	entries, err := os.ReadDir(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return fmt.Errorf("the folder %s cannot be used: %w", dir, err)
	case len(entries) > 0:
		return fmt.Errorf("the folder %s is not empty; name a new one: fieldheld demo my-demo", dir)
	}
	return nil
}

// printDemo says where the demo is and what to look at first.
func printDemo(out io.Writer, dir, target string, r *report.Report) error {
	p := newPrinter(out)
	p.head("A made-up test day and its report are written.")
	p.line("")
	p.line("  the report     %s", target)
	p.line("  the job sheet  %s", filepath.Join(dir, "job.toml"))
	p.line("  the records    %s", filepath.Join(dir, "probe")+", "+filepath.Join(dir, "power")+", "+filepath.Join(dir, "dwell"))
	p.line("")
	p.cells(r, nil)
	p.line("")
	p.wrapped(0, "Look first at page 1 of the report: the answer, the matrix and the strip of every step. Then follow a link from the matrix to the plots, and section 9 for the steps that were repeated and the deviation that was agreed.")
	p.line("")
	p.line("  fieldheld check %s", dir)
	p.line("  fieldheld report %s", dir)
	return p.err
}
