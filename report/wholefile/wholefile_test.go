package wholefile

import (
	"bufio"
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// content is a long file of one number over and over, so that a mixture of two is
// told at once.
func content(n int) []byte { return bytes.Repeat(fmt.Appendf(nil, "%08d", n), 1<<17) }

func writes(data []byte) func(io.Writer) error {
	return func(w io.Writer) error { _, err := w.Write(data); return err }
}

var kills = flag.Int("kills", 50, "how often a writing program is killed")

// TestMain lets the test program be the one that is killed: with a target named
// in its environment it writes the file over and over, with one number after another.
func TestMain(m *testing.M) {
	target := os.Getenv("WHOLEFILE_TARGET")
	if target == "" {
		os.Exit(m.Run())
	}
	for n := 1; ; n++ {
		if err := Save(File{target, writes(content(n))}); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		fmt.Println(n)
	}
}

// TestAKilledProgramLeavesAWholeFile kills a program at a random moment after it
// has told of its n-th file, however fast the machine is: the target is that file
// or the next one, whole, and what it left unfinished is gone after the next one
// has written.
func TestAKilledProgramLeavesAWholeFile(t *testing.T) {
	if testing.Short() {
		*kills = 10
	}
	target := filepath.Join(t.TempDir(), "report.pdf")
	random := rand.New(rand.NewPCG(1, 2))
	seen, unfinished := map[int]bool{}, 0
	for range *kills {
		program := exec.Command(os.Args[0])
		program.Env = append(os.Environ(), "WHOLEFILE_TARGET="+target)
		told, err := program.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, program.Start())
		saves := bufio.NewScanner(told)
		last, took := 0, time.Duration(0)
		for range 1 + random.IntN(3) {
			begun := time.Now()
			require.True(t, saves.Scan(), "the program writes until it is killed")
			last, err = strconv.Atoi(saves.Text())
			require.NoError(t, err)
			took = time.Since(begun)
		}
		time.Sleep(time.Duration(random.Float64() * 1.5 * float64(took))) // the time of the next file, or into the one behind it
		require.NoError(t, program.Process.Kill())
		_, _ = io.Copy(io.Discard, told)
		_ = program.Wait() // it was killed
		data, err := os.ReadFile(target)
		require.NoError(t, err)
		n, err := strconv.Atoi(string(data[:min(8, len(data))]))
		require.NoError(t, err)
		require.True(t, bytes.Equal(content(n), data), "the file is whole, and one of those that were written")
		require.GreaterOrEqual(t, n, last, "no file is older than one that was told of")
		seen[n] = true
		left, err := os.ReadDir(filepath.Dir(target))
		require.NoError(t, err)
		unfinished += len(left) - 1
	}
	assert.Greater(t, len(seen), 1, "some of the killed programs had written")
	assert.Positive(t, unfinished, "some of the killed programs were writing")
	require.NoError(t, Save(File{target, writes(content(0))}))
	left, err := os.ReadDir(filepath.Dir(target))
	require.NoError(t, err)
	assert.Len(t, left, 1, "what the killed programs left is gone")
}

func TestAFailureLeavesTheOldFile(t *testing.T) {
	target := filepath.Join(t.TempDir(), "report.pdf")
	require.NoError(t, Save(File{target, writes([]byte("old"))}))
	full := errors.New("no space left on device")
	err := Save(File{target, func(w io.Writer) error {
		_, _ = w.Write([]byte("half of the new"))
		return full
	}})
	assert.ErrorIs(t, err, full)
	data, err := os.ReadFile(target)
	require.NoError(t, err)
	assert.Equal(t, "old", string(data))
	left, err := os.ReadDir(filepath.Dir(target))
	require.NoError(t, err)
	assert.Len(t, left, 1)
}

// TestFilesThatBelongTogether writes two into one folder: both, or, where the
// second cannot be made, none.
func TestFilesThatBelongTogether(t *testing.T) {
	dir := t.TempDir()
	report, workbook := filepath.Join(dir, "report.pdf"), filepath.Join(dir, "results.xlsx")
	require.NoError(t, Save(File{report, writes([]byte("old"))}, File{workbook, writes([]byte("old"))}))
	fault := errors.New("a fault")
	assert.ErrorIs(t, Save(File{report, writes([]byte("new"))}, File{workbook, func(io.Writer) error { return fault }}), fault)
	for _, path := range []string{report, workbook} {
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Equal(t, "old", string(data), path)
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 2, "nothing unfinished is left")
}

func TestPlacesThatCannotBeWritten(t *testing.T) {
	dir := t.TempDir()
	assert.ErrorContains(t, Save(File{filepath.Join(dir, "nowhere", "report.pdf"), writes(nil)}), "nowhere")
	assert.ErrorContains(t, Save(File{dir, writes(nil)}), "folder")

	protected := filepath.Join(dir, "protected.pdf")
	require.NoError(t, os.WriteFile(protected, []byte("old"), 0o444))
	assert.ErrorContains(t, Save(File{protected, writes([]byte("new"))}), "write-protected")
	data, err := os.ReadFile(protected)
	require.NoError(t, err)
	assert.Equal(t, "old", string(data))
}

func TestALinkIsWrittenThrough(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Log("links need a privilege on Windows")
		return
	}
	dir := t.TempDir()
	target := filepath.Join(dir, "real.pdf")
	require.NoError(t, os.WriteFile(target, []byte("old"), 0o640))
	link := filepath.Join(dir, "link.pdf")
	require.NoError(t, os.Symlink(target, link))
	require.NoError(t, Save(File{link, writes([]byte("new"))}))
	data, err := os.ReadFile(target)
	require.NoError(t, err)
	assert.Equal(t, "new", string(data))
	info, err := os.Stat(target)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o640), info.Mode().Perm(), "the permissions stay")
}

func TestOnlyWhatNobodyUsesIsRemoved(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "odd [name]")
	require.NoError(t, os.Mkdir(dir, 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".fieldheld-123.part"), []byte("half"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "fieldheld-123.part"), []byte("a user's"), 0o600))
	used, err := create(dir)
	require.NoError(t, err)
	defer used.Close()
	require.NoError(t, Save(File{filepath.Join(dir, "report.pdf"), writes([]byte("new"))}))
	var names []string
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, entry := range left {
		names = append(names, entry.Name())
	}
	assert.ElementsMatch(t, []string{filepath.Base(used.Name()), "fieldheld-123.part", "report.pdf"}, names)
}
