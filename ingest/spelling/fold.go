// Package spelling takes the spellings of a word for one: capitals or not, accents or
// not, with blanks or without.
package spelling

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// Fold reduces a word of a header to what its spelling, case and spacing have
// in common: small letters and digits without accents.
func Fold(text string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(strings.ToLower(text)) {
		switch {
		case r == 'ß':
			b.WriteString("ss")
		case r == 'ø':
			b.WriteByte('o')
		case r == 'æ':
			b.WriteByte('a')
		case unicode.IsLetter(r), unicode.IsDigit(r):
			b.WriteRune(r)
		}
	}
	return spelledUmlauts.Replace(b.String())
}

// spelledUmlauts makes "Feldstaerke" and "Feldstärke" one word. Both sides of
// every comparison go through it, so that other words do no harm.
var spelledUmlauts = strings.NewReplacer("ae", "a", "oe", "o", "ue", "u")
