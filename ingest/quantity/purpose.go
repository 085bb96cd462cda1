package quantity

import "strings"

// Purpose is what a row of a dwell record was made for, in the word of the record;
// "" where it does not say, which is that of a test step.
type Purpose string

// The purposes.
const (
	TestStep        Purpose = "test"
	SearchRow       Purpose = "search"    // for what the article does and where
	ThresholdSearch Purpose = "threshold" // for the level at which the article reacts
	TrialRow        Purpose = "trial"     // of the setup
	AbortedRow      Purpose = "aborted"
)

// Purposes are the words for purposes, a test step first.
func Purposes() []string {
	return []string{string(TestStep), string(SearchRow), string(ThresholdSearch), string(TrialRow), string(AbortedRow)}
}

// IsStep reports whether such a row is a step of the test.
func (p Purpose) IsStep() bool { return p == "" || p == TestStep }

// ParsePurpose reads the word of a record, whatever its case; none is none.
func ParsePurpose(text string) (p Purpose, known bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	if text == "" {
		return "", true
	}
	for _, word := range Purposes() {
		if text == word {
			return Purpose(word), true
		}
	}
	return "", false
}
