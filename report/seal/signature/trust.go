package signature

import (
	"crypto/x509"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Trust says which signers a reader knows. Its zero value knows nobody.
type Trust struct {
	Roots   *x509.CertPool // authorities whose certificates are believed; nil for none
	Signers []string       // fingerprints of certificates that are known, hexadecimal
}

// Empty reports whether nobody is trusted.
func (t Trust) Empty() bool { return t.Roots == nil && len(t.Signers) == 0 }

// Fingerprint brings a fingerprint as people write it, with colons, blanks or
// capitals, into the form of Signature.Fingerprint.
func Fingerprint(written string) (string, error) {
	plain := strings.ToLower(strings.NewReplacer(":", "", " ", "", "-", "").Replace(written))
	const digits = 64 // of a SHA-256
	if len(plain) != digits || strings.Trim(plain, "0123456789abcdef") != "" {
		return "", fmt.Errorf("%q is no fingerprint: expected the SHA-256 of the signer's certificate, %d hexadecimal digits, as audit prints it", written, digits)
	}
	return plain, nil
}

// ReadRoots reads certificates in PEM as authorities.
func ReadRoots(pem []byte) (*x509.CertPool, error) {
	pool := x509.NewCertPool()
	if !pool.AppendCertsFromPEM(pem) {
		return nil, fmt.Errorf("there is no certificate in it: expected PEM, which begins with -----BEGIN CERTIFICATE-----")
	}
	return pool, nil
}

// Known reports whether a reader with that trust knows who signed. A signature
// that does not hold is nobody's.
func (s *Signature) Known(t Trust) bool {
	if s.Problem != nil || s.Certificate == nil {
		return false
	}
	if slices.Contains(t.Signers, s.Fingerprint()) {
		return true
	}
	return t.Roots != nil && s.TrustedBy(t.Roots) == nil
}

// SelfSigned reports whether nobody but the signer vouches for the certificate.
func (s *Signature) SelfSigned() bool { return s.Certificate != nil && selfIssued(s.Certificate) }

// Issuer is who vouches for the signer, as their certificate is called.
func (s *Signature) Issuer() string {
	if s.Certificate == nil {
		return ""
	}
	if name := strings.TrimSpace(s.Certificate.Issuer.CommonName); name != "" {
		return name
	}
	return s.Certificate.Issuer.String()
}

// Validity says what the certificate's dates make of it at a time: "" where it is
// valid then. The signer's stated time is judged with the signature itself.
func (s *Signature) Validity(now time.Time) string {
	switch c := s.Certificate; {
	case c == nil:
		return ""
	case now.After(c.NotAfter):
		return "its certificate expired on " + c.NotAfter.UTC().Format(time.DateOnly) + ", so that a later signature could state an earlier time"
	case now.Before(c.NotBefore):
		return "its certificate is not valid before " + c.NotBefore.UTC().Format(time.DateOnly)
	}
	return ""
}
