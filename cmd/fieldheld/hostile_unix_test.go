//go:build unix

package main

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var hostile = flag.Int("hostile", 1, "how large the hostile inputs are, in tenths of those that did harm")

// mostMemory is what any file of at most 1 GB may cost, in kilobytes.
const mostMemory = 1 << 20

// TestHostileInputs gives a program of its own what no honest laboratory would: it
// answers, with a reason that helps, within its memory. How long each takes is
// told and not judged, but for what would hang.
func TestHostileInputs(t *testing.T) {
	long := func(n int, line string) func(io.Writer) {
		n = n / 10 * *hostile
		return func(w io.Writer) {
			block := []byte(strings.Repeat(line, 1000))
			for range n / 1000 {
				_, _ = w.Write(block)
			}
		}
	}
	after := func(head string, rest func(io.Writer)) func(io.Writer) {
		return func(w io.Writer) { _, _ = io.WriteString(w, head); rest(w) }
	}
	const rest = "[laboratory]\nname = \"a\"\n[customer]\nname = \"b\"\n[article]\nname = \"c\"\n[[run]]\nid = \"H1\"\npolarization = \"horizontal\"\n" +
		"dwell = { file = \"d.csv\" }\n[[run.probe]]\nfile = \"p.csv\"\n"
	const sheet, header = "[report]\ntime_zone = \"UTC\"\n", "Time,E-field (V/m)\n2026-11-18T09:00:00Z,207.1\n"
	for _, test := range []struct {
		name, file string
		make       func(io.Writer) // nil for a pipe that nobody writes to
		args       []string
		code       int
		said       string
	}{
		{"a million runs", "day/job.toml", after(sheet, long(1_000_000, "[[run]]\nid = \"H\"\n")), []string{"check", "day"}, exitWrong, "job.toml"},
		{"300,000 unknown keys", "day/job.toml", func(w io.Writer) {
			_, _ = io.WriteString(w, sheet)
			for i := range 300_000 {
				fmt.Fprintf(w, "k%d = 1\n", i)
			}
		}, []string{"check", "day"}, exitWrong, "more keys than any that is known"},
		{"a billion positions", "day/job.toml", after(sheet+"[requirement]\nprofile = \"mil-std-461g-rs103-aircraft-external-army\"\npositions = 1000000000\n"+rest, long(0, "")), []string{"check", "day"}, exitWrong, "positions"},
		{"a sheet that opens tables for ever", "day/job.toml", long(1_000_000, "["), []string{"check", "day"}, exitWrong, "job.toml"},
		{"a sheet of zero bytes", "day/job.toml", long(10_000_000, "\x00"), []string{"check", "day"}, exitWrong, "job.toml"},
		{"a pipe for a sheet", "day/job.toml", nil, []string{"check", "day"}, exitWrong, "job.toml"},
		{"a pipe for a log", "log.csv", nil, []string{"look", "log.csv"}, exitWrong, "pipe"},
		{"a pipe for a report", "report.pdf", nil, []string{"audit", "report.pdf"}, exitWrong, "report.pdf"},
		{"a pipe for an authority", "ca.pem", nil, []string{"audit", "--trust", "ca.pem", reportOfNow(t)}, exitWrong, "ca.pem"},
		{"a device for an authority", "", nil, []string{"audit", "--trust", "/dev/zero", reportOfNow(t)}, exitWrong, "/dev/zero"},
		{"a device for a log", "", nil, []string{"look", "/dev/zero"}, exitWrong, "device"},
		{"a device for a report", "", nil, []string{"audit", "/dev/zero"}, exitWrong, "/dev/zero"},
		{"line ends behind a log", "log.csv", after(header, long(200_000_000, "\n")), []string{"look", "log.csv"}, exitDone, "1 read"},
		{"rows that cannot be read", "log.csv", after(header, long(10_000_000, "x,y\n")), []string{"look", "log.csv"}, exitWrong, "nearly no row"},
		{"one row without an end", "log.csv", after(header, long(200_000_000, "x")), []string{"look", "log.csv"}, exitWrong, "longer than any row"},
		{"a quotation mark without its other", "log.csv", after(header+"\"", long(200_000_000, "x\n")), []string{"look", "log.csv"}, exitWrong, "log.csv"},
		{"a million columns", "log.csv", after("Time,E-field (V/m)", long(900_000, ",")), []string{"look", "log.csv"}, exitWrong, "log.csv"},
		{"a workbook that unpacks without end", "log.xlsx", bomb, []string{"look", "log.xlsx"}, exitWrong, "log.xlsx"},
		{"a report of one letter", "report.pdf", after("%PDF-1.7\n", long(100_000_000, "0")), []string{"audit", "report.pdf"}, exitWrong, "report.pdf"},
	} {
		t.Run(test.name, func(t *testing.T) {
			dir := t.TempDir()
			require.NoError(t, os.MkdirAll(filepath.Join(dir, "day"), 0o755))
			switch path := filepath.Join(dir, test.file); {
			case test.file == "":
			case test.make == nil:
				require.NoError(t, syscall.Mkfifo(path, 0o600))
			default:
				file, err := os.Create(path)
				require.NoError(t, err)
				test.make(file)
				require.NoError(t, file.Close())
			}
			said, code, memory, took := measured(t, dir, test.args)
			t.Logf("%v, %d MB", took.Round(10*time.Millisecond), memory>>10)
			assert.Equal(t, test.code, code, said)
			assert.Contains(t, said, test.said)
			assert.Less(t, memory, int64(mostMemory), "kilobytes")
			assert.Less(t, len(said), 200_000, "an answer that can be read")
		})
	}
}

// reportOfNow writes a report and returns its path.
func reportOfNow(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.pdf")
	said, code, _, _ := measured(t, ".", []string{"report", "../../testdata/days/a-clean/day", "-o", path})
	require.Equal(t, exitDone, code, said)
	return path
}

// measured runs the program and returns what it said, its exit code, and the most
// memory that it took, in kilobytes.
func measured(t *testing.T, dir string, args []string) (said string, code int, memory int64, took time.Duration) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 5*time.Minute) // for what hangs, on a slow machine
	defer cancel()
	var out bytes.Buffer
	command := exec.CommandContext(ctx, "fieldheld", args...)
	command.Dir, command.Stdout, command.Stderr = dir, &out, &out
	begun := time.Now()
	err := command.Run()
	took = time.Since(begun)
	require.NoError(t, ctx.Err(), "it hangs")
	var ended *exec.ExitError
	if !errors.As(err, &ended) {
		require.NoError(t, err)
	}
	usage, ok := command.ProcessState.SysUsage().(*syscall.Rusage)
	require.True(t, ok)
	memory = int64(usage.Maxrss)
	if runtime.GOOS == "darwin" {
		memory >>= 10 // bytes there
	}
	return out.String(), command.ProcessState.ExitCode(), memory, took
}

// bomb writes a workbook whose one sheet unpacks to two gigabytes of nothing.
func bomb(w io.Writer) {
	packed := zip.NewWriter(w)
	for name, text := range map[string]string{
		"[Content_Types].xml":        `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="xml" ContentType="application/xml"/></Types>`,
		"xl/workbook.xml":            `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheets><sheet name="H1" sheetId="1"/></sheets></workbook>`,
		"xl/worksheets/sheet1.xml":   "",
		"xl/_rels/workbook.xml.rels": `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"/>`,
	} {
		part, err := packed.Create(name)
		if err != nil {
			panic(err)
		}
		_, _ = io.WriteString(part, text)
		if text != "" {
			continue
		}
		blanks := bytes.Repeat([]byte(" "), 1<<20)
		for range 2 << 10 {
			_, _ = part.Write(blanks)
		}
	}
	if err := packed.Close(); err != nil {
		panic(err)
	}
}
