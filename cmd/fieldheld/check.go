package main

import (
	"bytes"
	"io"

	"github.com/spf13/cobra"

	"fieldheld/ingest/watch"
	"fieldheld/report"
	"fieldheld/report/wholefile"
)

func newCheck() *cobra.Command {
	var asJSON, watching bool
	var repeatFile string
	cmd := &cobra.Command{
		Use:   "check DAY",
		Short: "Evaluate a day: verdicts, findings and what to repeat",
		Long: `check reads the day's folder, evaluates every visit, step and cell, and prints the
matrix of cells, the open findings and what to repeat before the setup is taken
down. It writes nothing unless --repeat names a file: what to repeat as CSV, or as
a paper with tick boxes where the name ends in .pdf, in the order in which the
antenna is changed least often.

With --watch it checks again whenever a file of the day appears, grows or is
replaced, shows what is left and what to repeat, and what cannot be read yet. It
ends on Ctrl-C.

Exit code: 0 demonstrated (also with accepted deviations), 1 not demonstrated,
2 the input or the call is wrong.`,
		Example: "  fieldheld check 2026-11-18\n  fieldheld check 2026-11-18 --json\n  fieldheld check 2026-11-18 --repeat repeat.csv\n  fieldheld check 2026-11-18 --repeat repeat.pdf\n  fieldheld check --watch 2026-11-18",
		Args:    takes("day's folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			var written []byte // in a day that is watched, writing the same again would be a change
			writeList := func(r *report.Report) error {
				if repeatFile == "" {
					return nil
				}
				var list bytes.Buffer
				if err := writeRepeat(&list, r, repeatFile); err != nil || bytes.Equal(list.Bytes(), written) {
					return err
				}
				written = list.Bytes()
				return wholefile.Save(repeatFile, func(w io.Writer) error { _, err := w.Write(written); return err })
			}
			if watching {
				return watchDay(cmd.Context(), args[0], watch.Usual, cmd.OutOrStdout(), writeList)
			}
			r, folder, err := buildReport(args[0], cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer folder.Close()
			if err := writeList(r); err != nil {
				return err
			}
			if asJSON {
				data, err := r.JSON()
				if err != nil {
					return err
				}
				if _, err := cmd.OutOrStdout().Write(data); err != nil {
					return err
				}
			} else if err := printCheck(cmd.OutOrStdout(), r); err != nil {
				return err
			}
			return verdict(r)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document and nothing else")
	cmd.Flags().BoolVar(&watching, "watch", false, "check again whenever a file of the day changes")
	cmd.MarkFlagsMutuallyExclusive("json", "watch")
	cmd.Flags().StringVar(&repeatFile, "repeat", "", "write what to repeat to `FILE`: CSV, or a paper where it ends in .pdf")
	return cmd
}

// verdict turns the state of the day into the end of a command.
func verdict(r *report.Report) error {
	if r.State == report.NotDemonstrated {
		return errNotDemonstrated
	}
	return nil
}
