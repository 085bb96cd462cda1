package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAuditSaysWhetherTheSignerIsKnown(t *testing.T) {
	begin(t, "day")
	writeKey(t)
	code, _, faults := command("report", "day", "-o", "report.pdf", "--sign", "authoriser.p12", "--password-file", "password.txt")
	require.Equal(t, exitDone, code, faults)
	code, out, _ := command("audit", "report.pdf")
	assert.Equal(t, exitDone, code)
	plain := strings.Join(strings.Fields(out), " ")
	assert.Contains(t, plain, "signer not known")
	assert.Contains(t, plain, "self-signed certificate: nobody else vouches for the name")
	assert.Contains(t, plain, "by the signer's own clock")
	assert.Contains(t, plain, "whoever can write files can make report and signature anew")
	fingerprint := regexp.MustCompile(`SHA-256 of the certificate ([0-9a-f]{64})`).FindStringSubmatch(plain)
	require.NotNil(t, fingerprint)

	code, out, _ = command("audit", "report.pdf", "--signer", fingerprint[1])
	assert.Equal(t, exitDone, code)
	plain = strings.Join(strings.Fields(out), " ")
	assert.Contains(t, plain, "by a signer whom you trust")
	assert.NotContains(t, plain, "anew")
	code, out, _ = command("audit", "report.pdf", "--signer", strings.Repeat("0", 64))
	assert.Equal(t, exitNotDemonstrated, code)
	assert.Contains(t, out, "NOT ALL OF THE REPORT COULD BE SHOWN TO HOLD")
	code, _, faults = command("audit", "report.pdf", "--signer", "12")
	assert.Equal(t, exitWrong, code)
	assert.Contains(t, faults, "64 hexadecimal digits")
	code, _, faults = command("audit", "report.pdf", "--trust", "password.txt")
	assert.Equal(t, exitWrong, code)
	assert.Contains(t, faults, "BEGIN CERTIFICATE")
}

func TestOnlyWhatHoldsIsSignedAndCompared(t *testing.T) {
	begin(t, "day")
	writeKey(t)
	code, _, faults := command("report", "day", "-o", "report.pdf")
	require.Equal(t, exitDone, code, faults)
	document, err := os.ReadFile("report.pdf")
	require.NoError(t, err)
	changed := bytes.Clone(document)
	changed[len(changed)/2] ^= 1
	require.NoError(t, os.WriteFile("changed.pdf", changed, 0o600))
	for _, args := range [][]string{
		{"sign", "changed.pdf", "--key", "authoriser.p12", "--password-file", "password.txt"},
		{"compare", "report.pdf", "changed.pdf"},
		{"compare", "changed.pdf", "report.pdf"},
	} {
		code, _, faults = command(args...)
		assert.Equal(t, exitWrong, code, args)
		assert.Contains(t, faults, "changed.pdf does not hold", args)
	}
	after, err := os.ReadFile("changed.pdf")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(changed, after), "nothing was written")
	code, _, _ = command("compare", "report.pdf", "report.pdf")
	assert.Equal(t, exitDone, code)
}

func TestADraftIsSignedWithAWarning(t *testing.T) {
	begin(t, "day")
	writeKey(t)
	sheet, err := os.ReadFile("day/job.toml")
	require.NoError(t, err)
	require.Regexp(t, `(?m)^number\s*=`, string(sheet))
	draft := regexp.MustCompile(`(?m)^number\s*=.*$`).ReplaceAll(sheet, nil)
	require.NoError(t, os.WriteFile("day/job.toml", draft, 0o600))
	code, _, faults := command("report", "day", "-o", "report.pdf")
	require.Equal(t, exitDone, code, faults)
	code, _, faults = command("sign", "report.pdf", "--key", "authoriser.p12", "--password-file", "password.txt")
	assert.Equal(t, exitDone, code)
	assert.Contains(t, faults, "report.pdf is a DRAFT")
	_, out, _ := command("audit", "report.pdf")
	assert.Contains(t, out, "THE REPORT HOLDS: without number, revision 0, DRAFT, demonstrated")
}

func TestAnAuditLeavesNothingBehind(t *testing.T) {
	begin(t, "day")
	code, _, faults := command("report", "day", "-o", "report.pdf")
	require.Equal(t, exitDone, code, faults)
	temporary := t.TempDir()
	for _, name := range []string{"TMPDIR", "TMP", "TEMP"} {
		t.Setenv(name, temporary)
	}
	require.NoError(t, os.Chmod(temporary, 0o500)) // it could not even write
	defer os.Chmod(temporary, 0o700)
	code, _, faults = command("audit", "report.pdf")
	assert.Equal(t, exitDone, code, faults)
	left, err := filepath.Glob(filepath.Join(temporary, "*"))
	require.NoError(t, err)
	assert.Empty(t, left)
	code, _, faults = command("audit", "day")
	assert.Equal(t, exitWrong, code)
	assert.Contains(t, faults, "day is a folder, not a file")
}

func TestARevisionReplacesTheReportThatItNames(t *testing.T) {
	begin(t, "day")
	code, _, faults := command("report", "day", "-o", "day/old.pdf")
	require.Equal(t, exitDone, code, faults)
	sheet, err := os.ReadFile("day/job.toml")
	require.NoError(t, err)
	old, err := os.ReadFile("day/old.pdf")
	require.NoError(t, err)
	revision := regexp.MustCompile(`(?m)^revision\s*=.*$`)
	require.Regexp(t, revision, string(sheet))
	number := regexp.MustCompile(`(?m)^number\s*=\s*"(.*)"$`).FindStringSubmatch(string(sheet))
	require.NotNil(t, number)
	for _, test := range []struct {
		name, replaces, says string
		old                  []byte
	}{
		{"the right one", number[1] + ", revision 0", "", old},
		{"another number", "NT-1, revision 0", "the file is report " + number[1], old},
		{"a damaged one", number[1], "the file is damaged", append(bytes.Clone(old[:len(old)/2]), old[len(old)/2+1:]...)},
	} {
		t.Run(test.name, func(t *testing.T) {
			require.NoError(t, os.WriteFile("day/old.pdf", test.old, 0o600))
			lines := "revision = 1\nreason = \"serial number\"\nreplaces = \"" + test.replaces + "\"\nreplaces_file = \"old.pdf\""
			require.NoError(t, os.WriteFile("day/job.toml", revision.ReplaceAll(sheet, []byte(lines)), 0o600))
			code, _, faults := command("report", "day", "-o", "new.pdf", "--replace-issued")
			if test.says == "" {
				assert.Equal(t, exitDone, code, faults)
				return
			}
			assert.Equal(t, exitWrong, code)
			assert.Contains(t, faults, test.says)
		})
	}
}
