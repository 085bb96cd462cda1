package main

import (
	"bytes"
	"flag"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var kills = flag.Int("kills", 24, "how often a command that writes is killed")

// writing are the commands that write, with the files that each writes into the
// folder that holds the day.
var writing = []struct {
	args    []string
	outputs []string
}{
	{[]string{"report", "day", "-o", "report.pdf"}, []string{"report.pdf"}},
	{[]string{"report", "day", "-o", "report.pdf", "--workbook", "results.xlsx"}, []string{"report.pdf", "results.xlsx"}},
	{[]string{"report", "day", "-o", "report.pdf", "--evidence", "none"}, []string{"report.pdf"}},
	{[]string{"check", "day", "--repeat", "repeat.csv"}, []string{"repeat.csv"}},
	{[]string{"check", "day", "--repeat", "repeat.pdf"}, []string{"repeat.pdf"}},
	{[]string{"plan", "day", "-o", "plan.pdf", "--steps", "steps.csv"}, []string{"plan.pdf", "steps.csv"}},
}

// TestAKilledCommandLeavesWholeFiles kills commands at random moments, as a
// machine that loses power does: each output is then the old one or the new one,
// whole, no input is another than before, and what is left unfinished is gone
// after the next command that ends.
func TestAKilledCommandLeavesWholeFiles(t *testing.T) {
	if testing.Short() {
		*kills = len(writing)
	}
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(filepath.Join(dir, "day"), os.DirFS("../../testdata/days/b-european/day")))
	inputs := contents(t, filepath.Join(dir, "day"))
	start := func(args []string) *exec.Cmd {
		command := exec.Command("fieldheld", args...)
		command.Dir = dir
		require.NoError(t, command.Start())
		return command
	}
	wholes, took := make([]map[string][]byte, len(writing)), make([]time.Duration, len(writing))
	for i, w := range writing {
		begun := time.Now()
		_ = start(w.args).Wait() // the day is not demonstrated
		took[i] = time.Since(begun)
		wholes[i] = map[string][]byte{}
		for _, name := range w.outputs {
			data, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err, "%v", w.args)
			wholes[i][name] = data
		}
	}
	old := []byte("what stood here before\n")
	random := rand.New(rand.NewPCG(3, 4))
	kept, replaced := 0, 0
	for k := range *kills {
		w, whole := writing[k%len(writing)], wholes[k%len(writing)]
		for _, name := range w.outputs {
			require.NoError(t, os.WriteFile(filepath.Join(dir, name), old, 0o600))
		}
		command := start(w.args)
		time.Sleep(time.Duration((0.5 + 0.6*random.Float64()) * float64(took[k%len(writing)]))) // most of them while they write
		_ = command.Process.Kill()                                                              // it may have ended
		_ = command.Wait()
		for _, name := range w.outputs {
			data, err := os.ReadFile(filepath.Join(dir, name))
			require.NoError(t, err)
			switch {
			case bytes.Equal(data, old):
				kept++
			case bytes.Equal(data, whole[name]):
				replaced++
			default:
				t.Fatalf("kill %d: %v left %s of %d bytes, neither the old file nor the new one", k, w.args, name, len(data))
			}
		}
	}
	t.Logf("%d kills: %d outputs were still the old ones, %d the new ones", *kills, kept, replaced)
	assert.Equal(t, inputs, contents(t, filepath.Join(dir, "day")), "no input was changed")

	_ = start(writing[1].args).Wait()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, entry := range entries {
		assert.False(t, strings.HasSuffix(entry.Name(), ".part"), "%s is left", entry.Name())
	}
}

// contents are the files below a folder, by their paths.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, entry os.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		files[path] = string(data)
		return err
	}))
	return files
}
