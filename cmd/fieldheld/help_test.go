package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fieldheld/report/verdict/check"
	"fieldheld/report/verdict/requirement"
	"fieldheld/templates"
	"fieldheld/templates/demoday"
)

// carryOut carries out a command line as a reader of the help would type it, in
// the working folder. A command that goes on and on is interrupted after its
// first answer.
func carryOut(t *testing.T, line string) {
	t.Helper()
	typed, _, _ := strings.Cut(line, " > ")
	words := csv.NewReader(strings.NewReader(typed)) // quotation marks as in a shell
	words.Comma = ' '
	args, err := words.Read()
	require.NoError(t, err, line)
	require.Equal(t, "fieldheld", args[0])
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	if strings.Contains(line, "--watch") {
		stop()
	}
	var out, faults bytes.Buffer
	code := runUntil(ctx, args[1:], strings.NewReader(""), &out, &faults)
	assert.Equal(t, exitDone, code, "%s\n%s", line, faults.String())
	assert.NotEmpty(t, out.String(), line)
}

// demoDay writes the demo's day, to be copied.
func demoDay(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "demo")
	require.NoError(t, demoday.Demo().Write(dir))
	return dir
}

// begin makes an empty folder the working folder, with the demo's day under each
// of the names.
func begin(t *testing.T, names ...string) {
	t.Helper()
	beginWith(t, demoDay(t), names...)
}

// beginWith does so with a copy of another day.
func beginWith(t *testing.T, day string, names ...string) {
	t.Helper()
	t.Chdir(t.TempDir())
	for _, name := range names {
		require.NoError(t, os.CopyFS(name, os.DirFS(day)))
	}
}

// TestCommandsInTheHelpWork carries out every command line of every topic, in
// their order.
func TestCommandsInTheHelpWork(t *testing.T) {
	lines, day := regexp.MustCompile(`(?m)^ +\$ (.*)$`), demoDay(t)
	for _, topic := range templates.Topics() {
		t.Run(topic.Name, func(t *testing.T) {
			if topic.Name == "guide" {
				beginWith(t, day) // it makes its days by itself
			} else {
				beginWith(t, day, "my-day")
			}
			for _, m := range lines.FindAllStringSubmatch(topic.Text, -1) {
				carryOut(t, m[1])
			}
		})
	}
}

// TestExamplesOfCommandsWork carries out every example of every command.
func TestExamplesOfCommandsWork(t *testing.T) {
	day := demoDay(t)
	for _, cmd := range newRoot().Commands() {
		if !shownInMan(cmd) {
			continue
		}
		t.Run(cmd.Name(), func(t *testing.T) {
			require.NotEmpty(t, cmd.Example)
			for line := range strings.Lines(cmd.Example) {
				beginWith(t, day, "2026-11-18")
				if strings.Contains(line, "report.pdf") || strings.Contains(line, ".p12") {
					writeKey(t)
					carryOut(t, "fieldheld report 2026-11-18 -o report.pdf")
				}
				carryOut(t, strings.TrimSpace(line))
			}
		})
	}
}

// helpTexts are the texts that a terminal shows, by what they are the help of.
func helpTexts() map[string]string {
	texts := map[string]string{}
	var collect func(cmd *cobra.Command)
	collect = func(cmd *cobra.Command) {
		texts[cmd.CommandPath()] = cmd.Long
		for _, sub := range cmd.Commands() {
			if sub.Name() != "completion" && sub.Name() != "help" {
				collect(sub)
			}
		}
	}
	collect(newRoot())
	return texts
}

func TestHelpFitsATerminal(t *testing.T) {
	texts := helpTexts()
	require.Greater(t, len(texts), 10)
	for name, text := range texts {
		assert.NotEmpty(t, text, name)
		for line := range strings.Lines(text) {
			assert.LessOrEqual(t, len([]rune(strings.TrimRight(line, "\n"))), columns, "%s: %s", name, line)
		}
	}
}

func TestHelpOnChecksNamesEachOfThem(t *testing.T) {
	var out bytes.Buffer
	require.Equal(t, exitDone, run([]string{"help", "checks"}, nil, &out, &out))
	for _, c := range check.Suite() {
		assert.Regexp(t, `(?m)^    `+c.Name+` +(note|not met|not shown|open until answered)$`, out.String())
	}
}

func TestHelpOnSafetyHasTheCautionsOfTheReport(t *testing.T) {
	var out bytes.Buffer
	require.Equal(t, exitDone, run([]string{"help", "safety"}, nil, &out, &out))
	assert.Contains(t, out.String(), "No power while antenna elements move.")
	assert.Contains(t, out.String(), "licensed or authorised")
}

func TestHelpOnRequirementFilesShowsOneThatCanBeRead(t *testing.T) {
	text := helpTexts()["fieldheld requirement-file"]
	_, example, found := strings.Cut(text, "```toml\n")
	require.True(t, found)
	example, _, found = strings.Cut(example, "```")
	require.True(t, found)
	r, err := requirement.Parse([]byte(example), "requirement.toml")
	require.NoError(t, err)
	assert.Len(t, r.Limits, 4)
	assert.Len(t, r.Steps, 3, "one of each kind")
	assert.True(t, r.Rule.Guarded)
}

func TestEveryTopicIsInTheHelp(t *testing.T) {
	for _, topic := range templates.Topics() {
		var out bytes.Buffer
		require.Equal(t, exitDone, run([]string{"help", topic.Name}, nil, &out, &out))
		first, _, _ := strings.Cut(topic.Text, "\n")
		assert.Contains(t, out.String(), first)
	}
}

// TestManualPageHasEveryCommand looks for what roff would take for a request by
// mistake as well.
func TestManualPageHasEveryCommand(t *testing.T) {
	var page bytes.Buffer
	require.NoError(t, writeMan(&page, newRoot()))
	request := regexp.MustCompile(`^\.(TH|SH|SS|PP|nf|fi|br)( |$)`)
	for line := range strings.Lines(page.String()) {
		line = strings.TrimRight(line, "\n")
		assert.False(t, strings.HasPrefix(line, "'"), line)
		if strings.HasPrefix(line, ".") {
			assert.Regexp(t, request, line)
		}
	}
	for _, cmd := range newRoot().Commands() {
		if shownInMan(cmd) {
			assert.Contains(t, page.String(), ".SS "+strings.ReplaceAll(cmd.Use, "-", `\-`)+"\n")
			assert.Contains(t, page.String(), "\nfieldheld "+strings.ReplaceAll(cmd.Use, "-", `\-`)+"\n")
		}
	}
}

// TestQuestions answers them as a person on a terminal would.
func TestQuestions(t *testing.T) {
	begin(t, "former")
	for name, c := range map[string]struct {
		answers string
		given   []string
		check   func(*newFlags)
		asked   int
	}{
		"all":               {"2026-12-01\nNT-0500\n\nwinch\nOrrevik\nTallholm\nEurope/Oslo\n\nmil-std-461g-rs103-ground-navy\n", nil, func(f *newFlags) { assert.Equal(t, "winch", f.answers.Article); assert.Equal(t, "2026-12-01", f.date) }, 9},
		"like a former day": {"\nNT-0500\nformer\n", nil, func(f *newFlags) { assert.Equal(t, "former", f.like); assert.Equal(t, "2026-12-24", f.date) }, 3},
		"the end of input":  {"", nil, func(f *newFlags) { assert.Empty(t, f.answers.Article) }, 9},
		"what flags say":    {"\n\nformer", []string{"number", "date"}, func(f *newFlags) { assert.Empty(t, f.answers.Number) }, 7},
	} {
		t.Run(name, func(t *testing.T) {
			var flags newFlags
			var asked bytes.Buffer
			err := flags.ask(askerOf(c.answers, &asked, c.given), "2026-12-24")
			require.NoError(t, err)
			c.check(&flags)
			assert.Equal(t, c.asked, strings.Count(asked.String(), ": "), asked.String())
			day, err := flags.plan("2026-12-24")
			require.NoError(t, err)
			assert.NotEmpty(t, day.Sheet)
			_, err = os.Stat("2026-12-24")
			assert.Error(t, err, "asking writes nothing")
		})
	}
}

func askerOf(answers string, asked *bytes.Buffer, given []string) asker {
	return asker{in: bufio.NewReader(strings.NewReader(answers)), out: asked,
		given: func(flag string) bool { return slices.Contains(given, flag) }}
}

// TestCommandsInTheReadmeWork carries out the command lines of the README's guide,
// in their order.
func TestCommandsInTheReadmeWork(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	lines := regexp.MustCompile(`(?m)^\$ (fieldheld .*)$`).FindAllStringSubmatch(string(text), -1)
	require.Greater(t, len(lines), 5)
	begin(t)
	for _, m := range lines {
		carryOut(t, m[1])
	}
}
