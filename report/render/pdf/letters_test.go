package pdf

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestClean(t *testing.T) {
	for text, want := range map[string]string{
		"plain": "plain", "tab\there": "tab here", "a\u0308 o\u0308": "ä ö", "zero\u200bwidth": `zero\u200Bwidth`, "line\nline": "line\nline", "bell\a": `bell\u0007`, "nb\u202fsp": "nb\u00a0sp",
	} {
		assert.Equal(t, want, clean(text))
	}
}
