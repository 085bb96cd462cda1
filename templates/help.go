package templates

import (
	_ "embed" // the texts
	"strings"
)

//go:embed help/guide.md
var guide string

//go:embed help/files.md
var files string

//go:embed help/job-sheet.md
var jobSheet string

//go:embed help/requirement-file.md
var requirementFile string

//go:embed help/checks.md
var checks string

//go:embed help/verdicts.md
var verdicts string

//go:embed help/watch.md
var watch string

//go:embed help/safety.md
var safety string

// Topic is a text of the program's help, for a terminal of 80 columns. In it,
// lines that begin with four blanks and "$ " are commands to try.
type Topic struct {
	Name  string // one word
	About string // a few words
	Text  string
}

// Topics returns the topics in the order in which one reads them. The texts on
// the job sheet, the checks and safety are introductions: what follows them is
// known elsewhere in the program.
func Topics() []Topic {
	return []Topic{
		{"guide", "a test day from beginning to end", lines(guide)},
		{"files", "what a day holds, and how files are read", lines(files)},
		{"job-sheet", "every key of the job sheet", lines(jobSheet)},
		{"requirement-file", "a requirement of your own", lines(requirementFile)},
		{"checks", "what is checked, and what a finding means", lines(checks)},
		{"watch", "what the watch shows beside a running test", lines(watch)},
		{"verdicts", "what the verdicts mean", lines(verdicts)},
		{"safety", "the cautions of a test", lines(safety)},
	}
}

// lines ends every line as Unix does, however the text was checked out.
func lines(text string) string { return strings.ReplaceAll(text, "\r\n", "\n") }
