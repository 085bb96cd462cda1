package main

import (
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"fieldheld/templates/licences"
)

func newLicences() *cobra.Command {
	return &cobra.Command{
		Use:   "licences",
		Short: "Print the licences of the typefaces and modules in this program",
		Long: `licences prints the licence texts of everything that this program carries: the
typefaces of the report, the modules that are linked into it, and the Go standard
library.`,
		Example: "  fieldheld licences\n  fieldheld licences > licences.txt",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return printLicences(cmd.OutOrStdout(), licences.List(), moduleVersions())
		},
	}
}

// moduleVersions returns the version of every module that is linked in, by path.
func moduleVersions() map[string]string {
	versions := map[string]string{}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return versions
	}
	versions[licences.Standard] = info.GoVersion
	for _, module := range info.Deps {
		versions[module.Path] = module.Version
	}
	return versions
}

// printLicences prints a list of the parts, then each text under its part.
func printLicences(out io.Writer, list []licences.Licence, versions map[string]string) error {
	p := newPrinter(out)
	p.wrapped(0, "This program carries the parts below. Their licence texts follow, in the same order.")
	p.line("")
	for _, licence := range list {
		p.line("  %s", strings.TrimSpace(licence.Part+" "+versions[licence.Part]))
	}
	for _, licence := range list {
		for _, text := range licence.Texts {
			p.line("")
			p.line("%s", strings.Repeat("=", columns))
			p.head("%s: %s", licence.Part, text.Name)
			p.line("%s", strings.Repeat("=", columns))
			p.line("")
			p.line("%s", strings.TrimSpace(strings.ReplaceAll(text.Text, "\r\n", "\n")))
		}
	}
	return p.err
}
