package signature

import (
	"crypto/elliptic"
	"crypto/x509"
	"encoding/pem"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func signedBy(t *testing.T, a *certificateAuthority) *Signature {
	t.Helper()
	unsigned := document(false)
	signed, err := Sign(unsigned, read(t, issue(t, a, curveKey(t, elliptic.P256()), nil)), Details{Time: today})
	require.NoError(t, err)
	list, _ := Read(signed, len(unsigned))
	require.Len(t, list, 1)
	return &list[0]
}

func TestWhoIsKnown(t *testing.T) {
	authority, another := newAuthority(t), newAuthority(t)
	roots := func(a *certificateAuthority) *x509.CertPool {
		pool, err := ReadRoots(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: a.certificate.Raw}))
		require.NoError(t, err)
		return pool
	}
	issued, own := signedBy(t, authority), signedBy(t, nil)
	capitals, err := Fingerprint(" " + strings.ToUpper(own.Fingerprint()[:2]) + ":" + own.Fingerprint()[2:])
	require.NoError(t, err)
	for _, test := range []struct {
		name      string
		signature *Signature
		trust     Trust
		known     bool
	}{
		{"nobody is trusted", issued, Trust{}, false},
		{"the authority", issued, Trust{Roots: roots(authority)}, true},
		{"another authority of the same name", issued, Trust{Roots: roots(another)}, false},
		{"one's own certificate, by no authority", own, Trust{Roots: roots(authority)}, false},
		{"one's own certificate, by its fingerprint", own, Trust{Signers: []string{capitals}}, true},
		{"another of the same name, by that fingerprint", signedBy(t, nil), Trust{Signers: []string{capitals}}, false},
		{"a damaged signature", &Signature{Certificate: own.Certificate, Problem: assert.AnError}, Trust{Signers: []string{capitals}}, false},
	} {
		assert.Equal(t, test.known, test.signature.Known(test.trust), test.name)
	}
	assert.True(t, own.SelfSigned())
	assert.False(t, issued.SelfSigned())
	assert.Equal(t, "Tallholm root", issued.Issuer())
}

func TestWhatIsNoTrustIsNamed(t *testing.T) {
	_, err := Fingerprint("12:34")
	assert.ErrorContains(t, err, "64 hexadecimal digits")
	_, err = Fingerprint(strings.Repeat("g", 64))
	assert.Error(t, err)
	_, err = ReadRoots([]byte("no certificate"))
	assert.ErrorContains(t, err, "BEGIN CERTIFICATE")
}

func TestDatesOfACertificate(t *testing.T) {
	s := signedBy(t, nil)
	assert.Empty(t, s.Validity(today))
	assert.Contains(t, s.Validity(today.AddDate(2, 0, 0)), "expired on 2027-11-20")
	assert.Contains(t, s.Validity(today.AddDate(-2, 0, 0)), "not valid before 2025-11-20")
}
