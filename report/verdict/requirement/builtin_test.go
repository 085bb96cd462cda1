package requirement

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestNamesListsWhatBuiltinReads(t *testing.T) {
	list := Names()
	require.NotEmpty(t, list)
	titles := map[string]bool{}
	for i, s := range list {
		if i > 0 {
			assert.Less(t, list[i-1].Name, s.Name, "sorted by name")
		}
		r, err := Builtin(s.Name)
		require.NoError(t, err)
		assert.Equal(t, Summary{Name: r.Name, Title: r.Title, Edition: r.Edition, Source: r.Source}, s)
		assert.NotEmpty(t, r.Edition, s.Name)
		assert.NotEmpty(t, r.Notes, s.Name)
		assert.False(t, titles[s.Title], "%q stands for one requirement only", s.Title)
		titles[s.Title] = true
	}
}

// A laboratory can save what is printed and use it as its own requirement.
func TestBuiltinTextReadsAsARequirementOfTheLab(t *testing.T) {
	text, err := BuiltinText(builtinName("ground", "army"))
	require.NoError(t, err)
	own, err := Parse(text, "ours.toml")
	require.NoError(t, err)
	builtin, err := Builtin(builtinName("ground", "army"))
	require.NoError(t, err)
	assert.Equal(t, builtin.Limits, own.Limits)
	assert.Equal(t, builtin.Steps, own.Steps)
	assert.Empty(t, own.Name, "only a built-in requirement has a name")
}

func TestUnknownNameOffersTheNearest(t *testing.T) {
	for _, c := range []struct {
		name string
		says []string
		not  string
	}{
		{"mil-std-461g-rs103-grond-army", []string{builtinName("ground", "army")}, "navy"},
		{"ground", []string{builtinName("ground", "army"), builtinName("ground", "navy"), builtinName("ground", "air-force")}, "space"},
		{"Ground Army", []string{builtinName("ground", "army")}, "navy"},
		{"submarine", []string{builtinName("submarine-internal", "army"), builtinName("submarine-internal", "navy")}, "ground"},
		{"mil-std-461g", []string{"fieldheld requirements"}, "did you mean one"},
		{"", []string{"fieldheld requirements"}, "did you mean"},
		{"../rules/rules", []string{"fieldheld requirements"}, "did you mean"},
	} {
		r, err := Builtin(c.name)
		assert.Nil(t, r)
		message := only(t, err).String()
		for _, words := range c.says {
			assert.Contains(t, message, words, c.name)
		}
		assert.NotContains(t, message, c.not, c.name)
	}
}
