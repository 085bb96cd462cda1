package signature

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"crypto/x509"
	"crypto/x509/pkix"
	"fmt"
	"math/big"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"software.sslmate.com/src/go-pkcs12"
)

// today is when the tests sign.
var today = time.Date(2026, 11, 20, 14, 30, 5, 0, time.UTC)

// certificateAuthority issues throw-away certificates.
type certificateAuthority struct {
	certificate *x509.Certificate
	key         crypto.Signer
	serial      int64
}

func template(name string, serial int64) *x509.Certificate {
	return &x509.Certificate{
		SerialNumber: big.NewInt(serial), Subject: pkix.Name{CommonName: name, Organization: []string{"Tallholm EMC Laboratory"}},
		NotBefore: today.AddDate(-1, 0, 0), NotAfter: today.AddDate(1, 0, 0), KeyUsage: x509.KeyUsageDigitalSignature,
	}
}

func newAuthority(t testing.TB) *certificateAuthority {
	key := curveKey(t, elliptic.P256())
	c := template("Tallholm root", 1)
	c.IsCA, c.BasicConstraintsValid, c.KeyUsage = true, true, x509.KeyUsageCertSign
	a := &certificateAuthority{key: key, serial: 1}
	raw, err := x509.CreateCertificate(rand.Reader, c, c, key.Public(), key)
	require.NoError(t, err)
	a.certificate, err = x509.ParseCertificate(raw)
	require.NoError(t, err)
	return a
}

// issue makes a key file for a person. Where the authority is nil the
// certificate is issued by its own key.
func issue(t testing.TB, a *certificateAuthority, key crypto.Signer, change func(*x509.Certificate)) []byte {
	t.Helper()
	c := template("Ingrid Vale", 7)
	if change != nil {
		change(c)
	}
	parent, by := c, key
	var chain []*x509.Certificate
	if a != nil {
		a.serial++
		c.SerialNumber, parent, by, chain = big.NewInt(a.serial), a.certificate, a.key, []*x509.Certificate{a.certificate}
	}
	raw, err := x509.CreateCertificate(rand.Reader, c, parent, key.Public(), by)
	require.NoError(t, err)
	certificate, err := x509.ParseCertificate(raw)
	require.NoError(t, err)
	file, err := pkcs12.Modern.Encode(key, certificate, chain, "winch")
	require.NoError(t, err)
	return file
}

func read(t testing.TB, file []byte) *Key {
	t.Helper()
	key, err := ReadKey(file, "winch")
	require.NoError(t, err)
	return key
}

func curveKey(t testing.TB, curve elliptic.Curve) crypto.Signer {
	key, err := ecdsa.GenerateKey(curve, rand.Reader)
	require.NoError(t, err)
	return key
}

func rsaKey(t testing.TB, bits int) crypto.Signer {
	key, err := rsa.GenerateKey(rand.Reader, bits)
	require.NoError(t, err)
	return key
}

// document is a small file in the form in which reports are written. Its page
// has links or none.
func document(links bool) []byte {
	annotations := ""
	if links {
		annotations = "/Annots [<</Type /Annot /Subtype /Link /F 4 /Rect [20 20 80 40] /Border [0 0 0] /Dest [3 0 R /XYZ 0 100 null]>>]\n"
	}
	content := "q 0.2 0.3 0.4 rg 20 20 60 20 re f Q"
	objects := []string{
		"<</Type /Pages\n/Kids [3 0 R ]\n/Count 1\n/MediaBox [0 0 200 100]\n>>",
		"<</ProcSet [/PDF]>>",
		"<</Type /Page\n/Parent 1 0 R\n/Resources 2 0 R\n" + annotations + "/Contents 4 0 R>>",
		fmt.Sprintf("<</Length %d>>\nstream\n%s\nendstream", len(content), content),
		"<</Title (Test report)>>",
		"<</Type /Catalog\n/Pages 1 0 R\n>>",
	}
	var b bytes.Buffer
	b.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	table := fmt.Sprintf("xref\n0 %d\n0000000000 65535 f \n", len(objects)+1)
	for i, body := range objects {
		table += fmt.Sprintf("%010d 00000 n \n", b.Len())
		fmt.Fprintf(&b, "%d 0 obj\n%s\nendobj\n", i+1, body)
	}
	id := digestOf(crypto.SHA256, b.Bytes())[:16]
	begin := b.Len()
	fmt.Fprintf(&b, "%strailer\n<</Size %d /Root 6 0 R /Info 5 0 R /ID [<%x> <%x>]>>\nstartxref\n%d\n%%%%EOF\n", table, len(objects)+1, id, id, begin)
	return b.Bytes()
}
