package main

import (
	"bytes"
	"errors"
	"path/filepath"

	"github.com/spf13/cobra"

	"fieldheld/ingest"
	"fieldheld/ingest/jobsheet"
	"fieldheld/ingest/watch"
	"fieldheld/report"
)

func newCheck() *cobra.Command {
	var asJSON, watching, onlyOpen bool
	var repeatFile, runID string
	cmd := &cobra.Command{
		Use:   "check DAY",
		Short: "Evaluate a day: verdicts, findings and what to repeat",
		Long: `check reads the day's folder, evaluates every visit, step and cell, and prints the
findings, what to repeat before the setup is taken down, and at the end the
verdict, the matrix of cells, what the article did and what to do next. It writes
nothing unless --repeat names a file: what to repeat as CSV, or as a paper with
tick boxes where the name ends in .pdf, in the order in which the antenna is
changed least often. The last lines say in short what the field and the article
did; the exit code is that of the field. --open leaves out what decides nothing
any more, --run ID all that does not concern one run; neither changes verdict,
exit code or last line.

With --watch it checks again whenever a file of the day appears, grows or is
replaced: how many of the planned steps are met, the newest step, each cell as a
strip, what to repeat, and what cannot be read yet. A probe whose log has no new
row while its run goes on is told within ten seconds, with the terminal's bell.
It ends on Ctrl-C. "fieldheld help watch" says more.

Exit code: 0 demonstrated (also with accepted deviations), 1 not demonstrated,
2 the input or the call is wrong.`,
		Example: "  fieldheld check 2026-11-18\n  fieldheld check 2026-11-18 --json\n  fieldheld check 2026-11-18 --repeat repeat.csv\n  fieldheld check 2026-11-18 --repeat repeat.pdf\n  fieldheld check --watch 2026-11-18\n  fieldheld check 2026-11-18 --open --run H1",
		Args:    takes("day's folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			repeats := output{flag: "--repeat", path: repeatFile}
			if asJSON && repeats.standard() {
				return errors.New("--json and --repeat - both write to standard output; name a file for one of them")
			}
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
				return save(cmd, repeats.as(bytesOf(written)))
			}
			if watching {
				if err := mayWatch(args[0], repeats); err != nil {
					return err
				}
				by, stop := machineClock()
				defer stop()
				return watchDay(cmd.Context(), args[0], watch.Usual, by, cmd.OutOrStdout(), writeList)
			}
			hintAbove(cmd.ErrOrStderr(), args[0])
			r, folder, err := buildReport(args[0], cmd.ErrOrStderr())
			if err != nil {
				return err
			}
			defer folder.Close()
			only, err := selectRun(r, runID)
			if err != nil {
				return err
			}
			if err := mayWrite(inputsOf(args[0], folder), repeats); err != nil {
				return err
			}
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
			} else if err := printCheck(answersTo(cmd, repeats), r, onlyOpen, only); err != nil {
				return err
			}
			return verdict(r)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print one JSON document and nothing else")
	cmd.Flags().BoolVar(&watching, "watch", false, "check again whenever a file of the day changes")
	cmd.MarkFlagsMutuallyExclusive("json", "watch")
	cmd.Flags().BoolVar(&onlyOpen, "open", false, "leave out accepted findings and notes")
	cmd.MarkFlagsMutuallyExclusive("open", "json")
	cmd.MarkFlagsMutuallyExclusive("open", "watch")
	cmd.Flags().StringVar(&runID, "run", "", "print findings and combinations of the run with this `ID` only; verdict and exit code stay those of the day")
	cmd.MarkFlagsMutuallyExclusive("run", "json")
	cmd.MarkFlagsMutuallyExclusive("run", "watch")
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

// mayWatch checks the output of a day that is watched. A job sheet that cannot be
// read yet names nothing: the day itself is then the input.
func mayWatch(dir string, repeats output) error {
	folder, err := ingest.Open(dir)
	if err != nil {
		return mayWrite([]string{filepath.Join(dir, jobsheet.FileName)}, repeats)
	}
	defer folder.Close()
	return mayWrite(inputsOf(dir, folder), repeats)
}
