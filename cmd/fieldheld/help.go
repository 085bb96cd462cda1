package main

import (
	"strings"

	"github.com/spf13/cobra"
)

// fitHelp lays out the texts of the commands for a terminal. Paragraphs are
// broken anew; those with indented lines keep their lines.
func fitHelp(root *cobra.Command) {
	root.Long = fitted(root.Long)
	for _, cmd := range root.Commands() {
		if !cmd.IsAdditionalHelpTopicCommand() { // those are laid out
			cmd.Long = fitted(cmd.Long)
		}
	}
}

func fitted(text string) string {
	parts := strings.Split(text, "\n\n")
	for i, part := range parts {
		if !keepsLines(part) {
			parts[i] = strings.Join(wrap(part, columns), "\n")
		}
	}
	return strings.Join(parts, "\n\n")
}

// keepsLines reports whether the lines of a paragraph are to stay as they are.
func keepsLines(part string) bool {
	return strings.HasPrefix(part, "  ") || strings.Contains(part, "\n  ")
}
