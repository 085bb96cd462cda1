package main

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"math/big"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"software.sslmate.com/src/go-pkcs12"
)

// writeKey writes authoriser.p12, a throw-away key, and password.txt.
func writeKey(t *testing.T) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "S. Berge"},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), KeyUsage: x509.KeyUsageDigitalSignature}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &private.PublicKey, private)
	require.NoError(t, err)
	certificate, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	file, err := pkcs12.Modern.Encode(private, certificate, nil, "a password")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("authoriser.p12", file, 0o600))
	require.NoError(t, os.WriteFile("password.txt", []byte("a password\r\n"), 0o600))
}

// command runs a command and returns its exit code and what it printed.
func command(args ...string) (code int, out, faults string) {
	var o, f bytes.Buffer
	code = run(args, strings.NewReader(""), &o, &f)
	return code, o.String(), f.String()
}

func TestSignAuditAndChange(t *testing.T) {
	begin(t, "day")
	writeKey(t)
	code, _, faults := command("report", "day", "-o", "report.pdf", "--sign", "authoriser.p12", "--password-file", "password.txt", "--reason", "authorised for release")
	require.Equal(t, exitDone, code, faults)
	code, out, faults := command("audit", "report.pdf")
	assert.Equal(t, exitDone, code, faults)
	assert.Contains(t, out, "THE REPORT HOLDS")
	assert.Contains(t, out, "signed by S. Berge")
	if _, err := exec.LookPath("pdfsig"); err == nil {
		said, err := exec.Command("pdfsig", "report.pdf").CombinedOutput()
		require.NoError(t, err)
		assert.Contains(t, string(said), "Signature is Valid")
		assert.Contains(t, string(said), "Total document signed")
	}

	// A signed report is issued: another content does not take its place unasked.
	sheet, err := os.ReadFile("day/job.toml")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile("day/job.toml", bytes.Replace(sheet, []byte("0017"), []byte("0018"), 1), 0o600))
	before, err := os.ReadFile("report.pdf")
	require.NoError(t, err)
	code, _, faults = command("report", "day", "-o", "report.pdf")
	assert.Equal(t, exitWrong, code)
	assert.Contains(t, faults, "--replace-issued")
	after, err := os.ReadFile("report.pdf")
	require.NoError(t, err)
	assert.True(t, bytes.Equal(before, after))
	code, _, faults = command("report", "day", "-o", "report.pdf", "--replace-issued")
	assert.Equal(t, exitDone, code, faults)
}

func TestSigningSaysWhatIsMissing(t *testing.T) {
	begin(t)
	writeKey(t)
	require.NoError(t, os.WriteFile("other.pdf", []byte("%PDF-1.7\n"), 0o600))
	require.NoError(t, os.WriteFile("wrong.txt", []byte("another"), 0o600))
	for _, test := range []struct {
		args []string
		says string
	}{
		{[]string{"sign", "other.pdf"}, "--key KEY.p12"},
		{[]string{"sign", "nothing.pdf", "--key", "authoriser.p12"}, "the report cannot be read"},
		{[]string{"sign", "other.pdf", "--key", "nothing.p12"}, "the key cannot be read"},
		{[]string{"sign", "other.pdf", "--key", "authoriser.p12"}, "--password-file FILE"},
		{[]string{"sign", "other.pdf", "--key", "authoriser.p12", "--password-file", "wrong.txt"}, "password"},
		{[]string{"sign", "other.pdf", "--key", "authoriser.p12", "--password-file", "password.txt"}, "other.pdf"},
	} {
		code, _, faults := command(test.args...)
		assert.Equal(t, exitWrong, code, test.args)
		assert.Contains(t, faults, test.says)
	}
	data, err := os.ReadFile("other.pdf")
	require.NoError(t, err)
	assert.Equal(t, "%PDF-1.7\n", string(data), "nothing was written")
}
