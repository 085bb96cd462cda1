// Package wording holds what the program says: the fixed texts of the report, and
// the sentences of findings and of messages about inputs (text.go), which the code
// names by code and gives values. Each language is one folder.
//
// A text file of the report is a row of paragraphs with an empty line between them;
// lines that begin with "- " are the items of a list. The sentences are templates
// of text/template, one {{define}} a code.
package wording

import (
	_ "embed" // the texts
	"strings"
)

//go:embed english/safety.txt
var safety string

//go:embed english/limits.txt
var limits string

//go:embed english/method.txt
var method string

//go:embed english/statements.txt
var statements string

// Block is a paragraph, or a list where it has items.
type Block struct {
	Paragraph string
	Items     []string
}

// Safety is the cautions of the test.
func Safety() []Block { return blocks(safety) }

// Limits is what the report does not say.
func Limits() []Block { return blocks(limits) }

// Method is how a reading becomes a verdict.
func Method() []Block { return blocks(method) }

// Statements is what every report has to say of itself.
func Statements() []Block { return blocks(statements) }

func blocks(text string) []Block {
	text = strings.ReplaceAll(text, "\r\n", "\n") // as some version controls check files out
	var all []Block
	for _, part := range strings.Split(strings.TrimSpace(text), "\n\n") {
		if !strings.HasPrefix(part, "- ") {
			all = append(all, Block{Paragraph: part})
			continue
		}
		var list Block
		for _, item := range strings.Split(part, "\n") {
			list.Items = append(list.Items, strings.TrimPrefix(item, "- "))
		}
		all = append(all, list)
	}
	return all
}
