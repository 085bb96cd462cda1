package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"path/filepath"

	"github.com/spf13/cobra"

	"fieldheld/ingest"
	"fieldheld/report"
	"fieldheld/report/render/workbook"
	"fieldheld/report/seal/evidence"
	"fieldheld/report/seal/issue"
)

func newReport() *cobra.Command {
	var file, sheets string
	var with carriedFlags
	var key signing
	var replaceIssued bool
	cmd := &cobra.Command{
		Use:   "report DAY",
		Short: "Evaluate a day and write the test report as PDF",
		Long: `report evaluates the day and writes the report. A report that lacks something that
a report needs is a DRAFT, and says on page 2 what is missing. An existing report
is only replaced by a complete new one, and one that was issued or signed only with
--replace-issued. No file that the job sheet names is ever written over.

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
			if file == "" {
				file = filepath.Join(args[0], issue.FileName(r))
			}
			target, book := output{flag: "--output", path: file, judged: true}, output{flag: "--workbook", path: sheets}
			if err := mayWrite(append(inputsOf(args[0], folder), key.files()...), target, book); err != nil {
				return err
			}
			document, err := made(folder, r, carried)
			if err != nil {
				return err
			}
			if !replaceIssued && !target.standard() {
				if err := issue.MayReplace(target.path, document); err != nil {
					return err
				}
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
			if err := save(cmd, target.as(bytesOf(document)), book.as(func(w io.Writer) error { return workbook.Write(w, r) })); err != nil {
				return err
			}
			if err := printReportSummary(answersTo(cmd, target, book), r); err != nil {
				return err
			}
			for _, o := range []output{target, book} {
				if o.path != "" && !o.standard() {
					fmt.Fprintf(cmd.ErrOrStderr(), "wrote %s\n", printable(o.path))
				}
			}
			return verdict(r)
		},
	}
	with.add(cmd)
	cmd.Flags().StringVar(&key.key, "sign", "", "sign the report with the key in this PKCS#12 `FILE`")
	key.add(cmd)
	cmd.Flags().BoolVar(&replaceIssued, "replace-issued", false, "replace a report that was issued or signed")
	cmd.Flags().StringVar(&sheets, "workbook", "", "write the results as a workbook to `FILE` as well, such as results.xlsx")
	cmd.Flags().StringVarP(&file, "output", "o", "", "write the report to `FILE`, - for standard output (default DAY/NUMBER-rREVISION.pdf)")
	return cmd
}

// made returns the bytes of the report, which agree with themselves.
func made(folder *ingest.Folder, r *report.Report, carried issue.Carried) ([]byte, error) {
	var document bytes.Buffer
	if err := issue.Write(&document, folder, r, carried); err != nil {
		return nil, err
	}
	if _, err := evidence.Verify(document.Bytes(), math.MaxInt64-1); err != nil {
		return nil, fmt.Errorf("the report that was made would not hold, and was not written; this is a fault of the program: %w", err)
	}
	return document.Bytes(), nil
}
