package report

import (
	"cmp"
	"fmt"
	"strings"
)

// toldChanges is how many changes an amendment tells; section 2 has all of them.
const toldChanges = 3

// Amendment says what a revision replaces, why, and what it changes in words (ISO/IEC
// 17025:2017, 7.8.8); "" for the first issue.
func (r *Report) Amendment() string {
	s := r.Sheet.Report
	if s.Revision == 0 {
		return ""
	}
	text := fmt.Sprintf("Amendment. This is revision %d; it replaces %s: %s", s.Revision, cmp.Or(s.Replaces, "not stated"), sentence(cmp.Or(s.Reason, "not stated")))
	told := 0
	for _, c := range r.Changes {
		if !c.Digest && told < toldChanges {
			text += fmt.Sprintf(" %s: %s instead of %s.", capital(c.What), cmp.Or(c.After, "none"), cmp.Or(c.Before, "none"))
			told++
		}
	}
	switch more := len(r.Changes) - told; {
	case more == 1:
		text += " 1 more change in section 2."
	case more > 1:
		text += fmt.Sprintf(" %d more changes in section 2.", more)
	}
	return text
}

// sentence ends a text with one full stop.
func sentence(text string) string {
	if strings.HasSuffix(text, ".") || strings.HasSuffix(text, "!") || strings.HasSuffix(text, "?") {
		return text
	}
	return text + "."
}
