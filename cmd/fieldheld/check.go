package main

import (
	"encoding/csv"
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"fieldheld/report"
)

func newCheck() *cobra.Command {
	var asJSON bool
	var repeatFile string
	cmd := &cobra.Command{
		Use:   "check DAY",
		Short: "Evaluate a day: verdicts, findings and what to repeat",
		Long: `check reads the day's folder, evaluates every visit, step and cell, and prints the
matrix of cells, the open findings and what to repeat before the setup is taken
down. It writes nothing unless --repeat names a file.

Exit code: 0 demonstrated (also with accepted deviations), 1 not demonstrated,
2 the input or the call is wrong.`,
		Example: "  fieldheld check 2026-11-18\n  fieldheld check 2026-11-18 --json\n  fieldheld check 2026-11-18 --repeat repeat.csv",
		Args:    takes("day's folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			r, folder, err := buildReport(args[0], cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer folder.Close()
			if repeatFile != "" {
				if err := save(repeatFile, func(w io.Writer) error { return writeRepeat(w, r) }); err != nil {
					return err
				}
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
	cmd.Flags().StringVar(&repeatFile, "repeat", "", "write what to repeat to `FILE` as CSV")
	return cmd
}

// verdict turns the state of the day into the end of a command.
func verdict(r *report.Report) error {
	if r.State == report.NotDemonstrated {
		return errNotDemonstrated
	}
	return nil
}

// writeRepeat writes the repeat list as CSV with frequencies in hertz.
func writeRepeat(w io.Writer, r *report.Report) error {
	out := csv.NewWriter(w)
	_ = out.Write([]string{"Polarization", "Position", "Frequency (Hz)", "Why"})
	for _, repeat := range r.Repeat {
		frequency := strconv.FormatFloat(float64(repeat.Frequency), 'f', -1, 64)
		_ = out.Write([]string{repeat.Polarization, strconv.Itoa(repeat.Position), frequency, repeat.Why})
	}
	out.Flush()
	return out.Error()
}
