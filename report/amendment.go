package report

import (
	"cmp"
	"fmt"
	"strings"
	"unicode/utf8"
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
			text += fmt.Sprintf(" %s: %s.", capital(c.What), inShort(c))
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

// longChange is how many letters of a change are too many for a sentence on page 1.
const longChange = 80

// inShort tells a change in a few words; section 2 has the long ones in full.
func inShort(c Change) string {
	switch {
	case max(utf8.RuneCountInString(c.Before), utf8.RuneCountInString(c.After)) <= longChange:
		return fmt.Sprintf("%s instead of %s", cmp.Or(c.After, "none"), cmp.Or(c.Before, "none"))
	case c.Before == "":
		return "added, see section 2"
	case c.After == "":
		return "left out, see section 2"
	default:
		return "said otherwise, see section 2"
	}
}

// sentence ends a text with one full stop.
func sentence(text string) string {
	if strings.HasSuffix(text, ".") || strings.HasSuffix(text, "!") || strings.HasSuffix(text, "?") {
		return text
	}
	return text + "."
}
