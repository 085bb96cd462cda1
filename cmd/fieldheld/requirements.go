package main

import (
	"github.com/spf13/cobra"

	"fieldheld/report/verdict/requirement"
	"fieldheld/templates"
)

func newRequirements() *cobra.Command {
	return &cobra.Command{
		Use:   "requirements [NAME]",
		Short: "List the built-in requirements; with a name, print one in full as TOML",
		Long: `requirements lists the built-in requirements by the name that a job sheet gives as
profile. With a name it prints that requirement in full, as TOML: the form that a
requirement of your own has too.`,
		Example: "  fieldheld requirements\n  fieldheld requirements mil-std-461g-rs103-ground-army > requirement.toml",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return printRequirements(cmd.OutOrStdout(), requirement.Names())
			}
			text, err := requirement.BuiltinText(args[0])
			if err != nil {
				return err
			}
			_, err = cmd.OutOrStdout().Write(text)
			return err
		},
	}
}

func newRules() *cobra.Command {
	return &cobra.Command{
		Use:     "rules",
		Short:   "Print the rules by which a day is evaluated",
		Long:    "rules prints how a reading becomes a field level and a verdict: formulae, units, sources.",
		Example: "  fieldheld rules",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			text, _, _ := templates.Rules()
			_, err := cmd.OutOrStdout().Write([]byte(text))
			return err
		},
	}
}
