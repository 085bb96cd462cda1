package place

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Hidden reports whether a letter has no ink of its own and changes how others are
// seen: control characters, marks that turn the direction of writing, separators of
// lines, and what joins or parts letters unseen. The blank and the line end are
// none.
func Hidden(r rune) bool {
	switch {
	case r == '\n' || r == '\t' || r == ' ':
		return false
	case r == utf8.RuneError:
		return true
	}
	return unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Zl, r) || unicode.Is(unicode.Zp, r)
}

// OneLine writes a value of an input so that it can be shown anywhere: on one line,
// with hidden letters as their numbers. What has none stays as it is.
func OneLine(text string) string {
	if strings.IndexFunc(text, func(r rune) bool { return r == '\n' || r == '\t' || Hidden(r) }) < 0 {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\n' || r == '\t':
			b.WriteByte(' ')
		case r == utf8.RuneError:
			b.WriteString("\uFFFD")
		case Hidden(r):
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}
