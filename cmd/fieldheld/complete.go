package main

import (
	"github.com/spf13/cobra"

	"fieldheld/report/verdict/requirement"
)

// complete teaches the shell what may stand behind the commands: names of
// requirements, folders of days, files of one kind.
func complete(root *cobra.Command) {
	for _, cmd := range root.Commands() {
		switch cmd.Name() {
		case "requirements":
			cmd.ValidArgsFunction = oneOf(profiles)
		case "check", "report", "plan", "new", "demo":
			cmd.ValidArgsFunction = oneOf(folders)
		case "audit", "sign":
			cmd.ValidArgsFunction = oneOf(reports)
		case "compare":
			cmd.ValidArgsFunction = reports // both
		case "look":
			cmd.ValidArgsFunction = oneOf(anyFile)
		case "rules", "licences", "man":
			cmd.ValidArgsFunction = cobra.NoFileCompletions
		}
		completeFlag(cmd, "profile", profiles)
		completeFlag(cmd, "like", folders)
		completeFlag(cmd, "requirement", fixed([]string{"toml"}, cobra.ShellCompDirectiveFilterFileExt))
		completeFlag(cmd, "register", fixed([]string{"xlsx", "csv", "txt"}, cobra.ShellCompDirectiveFilterFileExt))
	}
}

// completeFlag sets the completion of a flag where the command has it.
func completeFlag(cmd *cobra.Command, flag string, what cobra.CompletionFunc) {
	if cmd.Flags().Lookup(flag) == nil {
		return
	}
	if err := cmd.RegisterFlagCompletionFunc(flag, what); err != nil {
		panic("a flag was given two completions: " + flag)
	}
}

// oneOf completes the first argument and no further one.
func oneOf(what cobra.CompletionFunc) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, begun string) ([]string, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return what(cmd, args, begun)
	}
}

// fixed completes to a list, or by a list of file name extensions.
func fixed(list []string, how cobra.ShellCompDirective) cobra.CompletionFunc {
	return func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) { return list, how }
}

var (
	folders = fixed(nil, cobra.ShellCompDirectiveFilterDirs)
	reports = fixed([]string{"pdf"}, cobra.ShellCompDirectiveFilterFileExt)
	anyFile = fixed(nil, cobra.ShellCompDirectiveDefault)
)

// profiles completes the name of a built-in requirement.
func profiles(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	var list []string
	for _, summary := range requirement.Names() {
		list = append(list, cobra.CompletionWithDesc(summary.Name, summary.Title))
	}
	return list, cobra.ShellCompDirectiveNoFileComp
}
