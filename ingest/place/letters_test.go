package place

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestOneLine(t *testing.T) {
	for text, want := range map[string]string{
		"WK-3": "WK-3", "Ωµ≤ Øst": "Ωµ≤ Øst",
		"NT-1\n[#] signature holds": "NT-1 [#] signature holds",
		"a\tb":                      "a b",
		"\x1b[31mred":               `\u001B[31mred`,
		"gpj.\u202Efdp":             `gpj.\u202Efdp`,
		"a\u200Bb\u2028c\u0085d":    `a\u200Bb\u2028c\u0085d`,
		"bad\xff":                   "bad\uFFFD",
	} {
		assert.Equal(t, want, OneLine(text))
	}
}
