package main

import (
	"bytes"
	"fmt"

	"github.com/spf13/cobra"

	"fieldheld/report/verdict/check"
	"fieldheld/templates"
	"fieldheld/templates/newday"
	"fieldheld/templates/wording"
)

// newTopics returns the topics of `fieldheld help`: commands that do nothing but
// have a long text.
func newTopics() []*cobra.Command {
	var topics []*cobra.Command
	for _, topic := range templates.Topics() {
		topics = append(topics, &cobra.Command{Use: topic.Name, Short: topic.About, Long: topic.Text + restOf(topic.Name)})
	}
	return topics
}

// restOf is the part of a topic that is known elsewhere in the program.
func restOf(topic string) string {
	var text bytes.Buffer
	p := &printer{out: &text}
	switch topic {
	case "job-sheet":
		return newday.Form()
	case "checks":
		for _, c := range check.Suite() {
			p.line("    %-22s%s", c.Name, consequence(c))
			p.wrapped(8, c.Doc)
		}
	case "safety":
		for _, block := range wording.Safety() {
			p.block(block)
		}
	}
	return text.String()
}

// consequence says what an open finding of a check makes of its step or cell.
func consequence(c check.Check) string {
	switch {
	case c.Decides():
		return fmt.Sprint(c.Leaves())
	case c.Weight == check.Asks:
		return "open until answered"
	default:
		return "note"
	}
}

// block prints a paragraph or the items of a list, and an empty line.
func (p *printer) block(block wording.Block) {
	if block.Items == nil {
		p.wrapped(0, block.Paragraph)
	}
	for _, item := range block.Items {
		for i, line := range wrap(item, columns-4) {
			p.line("%s%s", map[bool]string{true: "  - ", false: "    "}[i == 0], line)
		}
	}
	p.line("")
}
