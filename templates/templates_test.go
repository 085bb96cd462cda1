package templates

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRulesStateTheirVersionAndDigest(t *testing.T) {
	text, version, digest := Rules()
	assert.Equal(t, "2.1", version)
	sum := sha256.Sum256([]byte(text))
	assert.Equal(t, hex.EncodeToString(sum[:]), digest)
}

func TestStatedVersion(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"Heading\n\nVersion 2.1, of May\n", "2.1"},
		{"Version 3\n", "3"},
		{"A version 4 in the text\n", ""},
	} {
		assert.Equal(t, c.want, statedVersion(c.text), c.text)
	}
}

// The rules are printed in a terminal and quoted in the report.
func TestRulesFitATerminal(t *testing.T) {
	text, _, _ := Rules()
	assert.NotContains(t, text, "\r", "the digest has to be the same on every system")
	assert.NotContains(t, text, "\t")
	for i, line := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, "line %d", i+1)
		assert.Equal(t, strings.TrimRight(line, " "), line, "line %d ends in blanks", i+1)
	}
}

// Every check that can stand in a report is explained by the rules.
func TestRulesNameEveryCheck(t *testing.T) {
	text, _, _ := Rules()
	_, table, found := strings.Cut(text, "THE CHECKS")
	require.True(t, found)
	for _, check := range []string{"level", "overlevel", "dwell", "step-size", "coverage", "polarization", "position",
		"samples", "overlap", "coarse", "levelling", "correction-range", "modulation", "calibration", "equipment", "probe-fault", "frequency-agreement",
		"harmonic", "observation", "tuning", "motion", "power", "mismatch", "linearity", "clock", "record", "environment", "event", "deviation"} {
		assert.Regexp(t, `(?m)^ {4}`+regexp.QuoteMeta(check)+` `, table, check)
	}
}

func TestRequirementsAreFilesOfText(t *testing.T) {
	files, err := fs.Glob(Requirements(), "*")
	require.NoError(t, err)
	assert.Len(t, files, 20, "8 columns of Table XI, all three services for four of them, two for the others")
	for _, file := range files {
		assert.Regexp(t, `^mil-std-461g-rs103-[a-z-]+-(army|navy|air-force)\.toml$`, file)
		data, err := fs.ReadFile(Requirements(), file)
		require.NoError(t, err)
		assert.NotContains(t, string(data), "\r", file)
		assert.NotContains(t, string(data), "current", "%s: an edition is stated by its date, never as current", file)
	}
}
