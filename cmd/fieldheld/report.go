package main

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"

	"github.com/spf13/cobra"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/issue"
	"fieldheld/report/wholefile"
	"fieldheld/report/workbook"
)

func newReport() *cobra.Command {
	var target, sheets string
	var with carriedFlags
	var key signing
	var replaceIssued bool
	cmd := &cobra.Command{
		Use:   "report DAY",
		Short: "Evaluate a day and write the test report as PDF",
		Long: `report evaluates the day and writes the report. A report that lacks something that
a report needs is a DRAFT, and says on page 2 what is missing. An existing report
is only replaced by a complete new one, and an issued one with the same number and
revision and other content only with --replace-issued.

Exit code: 0 demonstrated (also with accepted deviations), 1 not demonstrated (the
report is written all the same), 2 the input or the call is wrong.`,
		Example: "  fieldheld report 2026-11-18\n  fieldheld report 2026-11-18 -o NT-0417.pdf\n  fieldheld report 2026-11-18 --workbook results.xlsx",
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
			document, err := made(folder, r, carried, replaceIssued, target)
			if err != nil {
				return err
			}
			if key.key != "" {
				opened, err := key.readKey(cmd.InOrStdin(), cmd.ErrOrStderr())
				if err != nil {
					return err
				}
				if document, err = key.sign(document, opened); err != nil {
					return err
				}
			}
			if err := saveWorkbook(sheets, r); err != nil { // before the report, which nothing replaces when this fails
				return err
			}
			if err := wholefile.Save(target, func(w io.Writer) error { _, err := w.Write(document); return err }); err != nil {
				return err
			}
			if err := printReportSummary(cmd.OutOrStdout(), r); err != nil {
				return err
			}
			fmt.Fprintf(cmd.ErrOrStderr(), "wrote %s\n", printable(target))
			if sheets != "" {
				fmt.Fprintf(cmd.ErrOrStderr(), "wrote %s\n", printable(sheets))
			}
			return verdict(r)
		},
	}
	with.add(cmd)
	cmd.Flags().StringVar(&key.key, "sign", "", "sign the report with the key in this PKCS#12 `FILE`")
	key.add(cmd)
	cmd.Flags().BoolVar(&replaceIssued, "replace-issued", false, "replace an issued report of the same number and revision")
	cmd.Flags().StringVar(&sheets, "workbook", "", "write the results as a workbook to `FILE` as well, such as results.xlsx")
	cmd.Flags().StringVarP(&target, "output", "o", "", "write the report to `FILE` (default DAY/report.pdf)")
	return cmd
}

// saveWorkbook writes the results as a workbook; nothing where no file is named.
func saveWorkbook(file string, r *report.Report) error {
	if file == "" {
		return nil
	}
	return wholefile.Save(file, func(w io.Writer) error { return workbook.Write(w, r) })
}

// made returns the bytes of the report, unless they may not replace what is there.
func made(folder *ingest.Folder, r *report.Report, carried issue.Carried, replaceIssued bool, target string) ([]byte, error) {
	var document bytes.Buffer
	if err := issue.Write(&document, folder, r, carried); err != nil {
		return nil, err
	}
	if !replaceIssued {
		if err := issue.Conflict(target, document.Bytes(), r); err != nil {
			return nil, err
		}
	}
	return document.Bytes(), nil
}
