package main

import (
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// run carries out one command and returns its exit code.
func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	return runUntil(context.Background(), args, stdin, stdout, stderr)
}

// TestMain lets the scripts call this program as a command of its own.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"fieldheld": func() { os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
	})
}

// TestScripts carries out the stories in testdata/script, one a file. Beside the
// commands of the script language they have
//
//	ends CODE COMMAND...    the command ends with just this exit code
//	example NAME DIR        copies an example day
//	trial NAME DIR          copies a day of the trial
//	only DIR NAME...        a folder holds just these files and folders
//	swap FILE OLD NEW       puts a text in the place of another, which must be there
//	cut FILE PERCENT        cuts a file off
func TestScripts(t *testing.T) {
	examples, err := filepath.Abs("../../testdata/days")
	if err != nil {
		t.Fatal(err)
	}
	trial, err := filepath.Abs("../../testdata/trial")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: os.Getenv("UPDATE_SCRIPTS") != "",
		Setup: func(env *testscript.Env) error {
			env.Setenv("EXAMPLES", examples)
			env.Setenv("TRIAL", trial)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"ends": endsWith, "example": copyExample, "trial": copyTrial, "only": holdsOnly, "swap": swapText, "cut": cutOff,
		},
	})
}

// want fails a script that calls a command in the wrong way.
func want(ts *testscript.TestScript, neg bool, ok bool, usage string) {
	if neg || !ok {
		ts.Fatalf("usage: %s", usage)
	}
}

func endsWith(ts *testscript.TestScript, neg bool, args []string) {
	want(ts, neg, len(args) >= 2, "ends CODE COMMAND...")
	expected, err := strconv.Atoi(args[0])
	ts.Check(err)
	code := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var ended *exec.ExitError
		if !errors.As(err, &ended) {
			ts.Fatalf("%v", err)
		}
		code = ended.ExitCode()
	}
	if code != expected {
		ts.Fatalf("ends with exit code %d, not %d", code, expected)
	}
}

func copyExample(ts *testscript.TestScript, neg bool, args []string) {
	want(ts, neg, len(args) == 2, "example NAME DIR")
	ts.Check(os.CopyFS(ts.MkAbs(args[1]), os.DirFS(filepath.Join(ts.Getenv("EXAMPLES"), args[0], "day"))))
}

func copyTrial(ts *testscript.TestScript, neg bool, args []string) {
	want(ts, neg, len(args) == 2, "trial NAME DIR")
	ts.Check(os.CopyFS(ts.MkAbs(args[1]), os.DirFS(filepath.Join(ts.Getenv("TRIAL"), args[0]))))
}

func holdsOnly(ts *testscript.TestScript, neg bool, args []string) {
	want(ts, neg, len(args) >= 1, "only DIR NAME...")
	entries, err := os.ReadDir(ts.MkAbs(args[0]))
	ts.Check(err)
	var names []string
	for _, entry := range entries {
		names = append(names, entry.Name())
	}
	if got, expected := strings.Join(names, " "), strings.Join(args[1:], " "); got != expected {
		ts.Fatalf("%s holds %q, not %q", args[0], got, expected)
	}
}

func swapText(ts *testscript.TestScript, neg bool, args []string) {
	want(ts, neg, len(args) == 3, "swap FILE OLD NEW")
	text := ts.ReadFile(args[0])
	if !strings.Contains(text, args[1]) {
		ts.Fatalf("%s has no %q", args[0], args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.ReplaceAll(text, args[1], strings.ReplaceAll(args[2], `\n`, "\n"))), 0o644))
}

func cutOff(ts *testscript.TestScript, neg bool, args []string) {
	want(ts, neg, len(args) == 2, "cut FILE PERCENT")
	percent, err := strconv.Atoi(args[1])
	ts.Check(err)
	info, err := os.Stat(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(os.Truncate(ts.MkAbs(args[0]), info.Size()*int64(percent)/100))
}
