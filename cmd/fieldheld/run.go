package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"fieldheld/ingest/zone"
	"fieldheld/report"
	"fieldheld/templates"
)

// The exit codes.
const (
	exitDone            = 0 // demonstrated, or the command did its work
	exitNotDemonstrated = 1 // not demonstrated, or an audit does not hold
	exitWrong           = 2 // the input or the call is wrong; nothing was written
)

// version is the program's version; a release sets it when it is built.
var version = "0.1.0"

// errNotDemonstrated ends a command that worked with the answer no.
var errNotDemonstrated = errors.New("not demonstrated")

// runUntil carries out one command and returns its exit code; a command that goes
// on and on ends with the context.
func runUntil(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	root := newRoot()
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.ExecuteContext(ctx)
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errNotDemonstrated):
		return exitNotDemonstrated
	default:
		fmt.Fprintln(stderr, "fieldheld: "+printable(err.Error()))
		return exitWrong
	}
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "fieldheld",
		Short: "Check a day of radiated-susceptibility testing and report it",
		Long: `fieldheld reads the files of a test day (job sheet, field-probe logs, forward and
reflected power, dwell records), verifies every step against the requirement, and
writes the test report with the evidence for each statement.

  fieldheld demo my-day          write a made-up day and its report
  fieldheld check my-day         verdicts, findings and what to repeat
  fieldheld report my-day        the test report as PDF`,
		SilenceUsage: true, SilenceErrors: true,
		Version: versionLine(),
		Args:    noSuchCommand,
		RunE:    func(cmd *cobra.Command, _ []string) error { return cmd.Help() },

		SuggestionsMinimumDistance: 2,
	}
	root.SetVersionTemplate("{{.Version}}\n")
	root.AddCommand(newReport(), newCheck(), newAudit(), newSign(), newLook(), newCompare(), newDemo(), newRequirements(), newRules(), newPlan(),
		newLicences(), newNew(), newMan())
	root.AddCommand(newTopics()...)
	complete(root)
	fitHelp(root)
	return root
}

// noSuchCommand says that a word is no command, and which one may be meant.
func noSuchCommand(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	near := root.SuggestionsFor(args[0])
	if len(near) == 0 {
		return fmt.Errorf("there is no command %q; fieldheld help lists them", args[0])
	}
	return fmt.Errorf("there is no command %q; did you mean %s?", args[0], strings.Join(near, " or "))
}

// takes returns the rule that a command takes exactly one of what.
func takes(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) == 1:
			return nil
		case len(args) == 0:
			return fmt.Errorf("%s needs a %s: fieldheld %s", cmd.Name(), what, cmd.Use)
		default:
			return fmt.Errorf("%s takes one %s and was given %d: fieldheld %s; put a path with blanks in quotation marks", cmd.Name(), what, len(args), cmd.Use)
		}
	}
}

// program says which program makes the report.
func program() report.Program {
	_, rules, digest := templates.Rules()
	return report.Program{Name: "fieldheld", Version: version, Revision: revision(), RuleSet: rules, RuleDigest: digest, Zones: zone.Version}
}

// revision is the commit that the program was built from, "" where the build
// does not say it.
func revision() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	commit, modified := "", ""
	for _, setting := range info.Settings {
		switch setting.Key {
		case "vcs.revision":
			commit = setting.Value
		case "vcs.modified":
			if setting.Value == "true" {
				modified = "+changes"
			}
		}
	}
	if len(commit) > 12 {
		commit = commit[:12]
	}
	return commit + modified
}

func versionLine() string {
	_, rules, _ := templates.Rules()
	line := "fieldheld " + version
	if r := revision(); r != "" {
		line += " (" + r + ")"
	}
	return line + ", evaluation rules " + rules
}
