package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func newMan() *cobra.Command {
	return &cobra.Command{
		Use:   "man",
		Short: "Print the manual page",
		Long: `man prints the manual page for systems that have such pages, made of the same
texts as the help. Save it where the man command looks for pages of section 1.`,
		Example: "  fieldheld man > fieldheld.1",
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return writeMan(cmd.OutOrStdout(), cmd.Root())
		},
	}
}

// writeMan writes the manual page in the language of roff with the man macros.
func writeMan(out io.Writer, root *cobra.Command) error {
	var page manPage
	fmt.Fprintf(&page, ".TH FIELDHELD 1 \"\" \"fieldheld %s\"\n", version)
	page.section("NAME")
	page.filled("fieldheld - " + strings.ToLower(root.Short[:1]) + root.Short[1:])
	page.section("SYNOPSIS")
	for _, cmd := range root.Commands() {
		if shownInMan(cmd) {
			page.raw("fieldheld " + cmd.Use)
			page.WriteString(".br\n")
		}
	}
	page.section("DESCRIPTION")
	page.text(root.Long)
	page.section("COMMANDS")
	for _, cmd := range root.Commands() {
		if shownInMan(cmd) {
			page.command(cmd)
		}
	}
	page.section("EXIT STATUS")
	page.text("0: the requirement is demonstrated, also with deviations that were accepted, or the command did its work.\n\n" +
		"1: it is not demonstrated, or an audit does not hold.\n\n2: the input or the call is wrong, and nothing was written.")
	page.section("TOPICS")
	for _, cmd := range root.Commands() {
		if cmd.IsAdditionalHelpTopicCommand() {
			page.filled("fieldheld help " + cmd.Name() + ": " + cmd.Short + ".")
		}
	}
	_, err := out.Write(page.Bytes())
	return err
}

// shownInMan reports whether a command does something for users.
func shownInMan(cmd *cobra.Command) bool {
	return cmd.IsAvailableCommand() && cmd.Name() != "help" && cmd.Name() != "completion"
}

// manPage is a page that is being written.
type manPage struct{ bytes.Buffer }

func (p *manPage) section(title string) { p.WriteString(".SH " + title + "\n") }

// raw writes a line so that nothing in it is a request or an escape.
func (p *manPage) raw(line string) {
	line = strings.ReplaceAll(strings.ReplaceAll(line, `\`, `\e`), "-", `\-`)
	if strings.HasPrefix(line, ".") || strings.HasPrefix(line, "'") {
		line = `\&` + line
	}
	p.WriteString(line + "\n")
}

// filled writes a paragraph.
func (p *manPage) filled(text string) {
	p.WriteString(".PP\n")
	p.raw(strings.Join(strings.Fields(text), " "))
}

// text writes paragraphs; those with indented lines keep their lines.
func (p *manPage) text(text string) {
	for _, part := range strings.Split(strings.Trim(text, "\n"), "\n\n") {
		if !keepsLines(part) {
			p.filled(part)
			continue
		}
		p.WriteString(".PP\n.nf\n")
		for _, line := range strings.Split(part, "\n") {
			p.raw(line)
		}
		p.WriteString(".fi\n")
	}
}

// command writes what a command does, its flags and examples.
func (p *manPage) command(cmd *cobra.Command) {
	p.WriteString(".SS ")
	p.raw(cmd.Use)
	p.text(cmd.Long)
	flags := pflag.NewFlagSet(cmd.Name(), pflag.ContinueOnError)
	cmd.LocalFlags().VisitAll(func(flag *pflag.Flag) {
		if flag.Name != "help" { // only the command that is being carried out has it
			flags.AddFlag(flag)
		}
	})
	if text := flags.FlagUsagesWrapped(columns - 8); text != "" {
		p.text(text)
	}
	if cmd.Example != "" {
		p.text(cmd.Example)
	}
}
