package signature

import (
	"bytes"
	"crypto"
	"crypto/x509"
	"errors"
	"fmt"
	"strings"
	"time"

	"software.sslmate.com/src/go-pkcs12"
)

// Key is what a person signs with.
type Key struct {
	Certificate *x509.Certificate
	Chain       []*x509.Certificate // issuers, the nearest first
	signer      crypto.Signer
}

// ErrPassword says that the password does not open the key file.
var ErrPassword = errors.New("the password does not open the key file")

// ReadKey reads a PKCS#12 file (RFC 7292; .p12 or .pfx) that holds a private
// key, its certificate and, where there are any, those of its issuers.
func ReadKey(data []byte, password string) (*Key, error) {
	private, certificate, others, err := pkcs12.DecodeChain(data, password)
	switch {
	case errors.Is(err, pkcs12.ErrIncorrectPassword):
		return nil, ErrPassword
	case err != nil:
		return nil, fmt.Errorf("the key file cannot be read as PKCS#12 with one private key and its certificate: %w", err)
	}
	signer, ok := private.(crypto.Signer)
	if !ok {
		return nil, fmt.Errorf("the key file holds a key of type %T, which cannot sign", private)
	}
	if mine, ok := signer.Public().(interface{ Equal(crypto.PublicKey) bool }); !ok || !mine.Equal(certificate.PublicKey) {
		return nil, errors.New("the certificate in the key file belongs to another key")
	}
	return &Key{Certificate: certificate, Chain: chainOf(certificate, others), signer: signer}, nil
}

// chainOf puts the issuers of a certificate in order. Certificates that do not
// belong to them are left out: they would prove nothing.
func chainOf(certificate *x509.Certificate, others []*x509.Certificate) []*x509.Certificate {
	var chain []*x509.Certificate
	for current := certificate; !selfIssued(current); {
		issuer := issuerOf(current, others)
		if issuer == nil || len(chain) > len(others) {
			break
		}
		chain = append(chain, issuer)
		current = issuer
	}
	return chain
}

func issuerOf(certificate *x509.Certificate, others []*x509.Certificate) *x509.Certificate {
	for _, other := range others {
		if bytes.Equal(certificate.RawIssuer, other.RawSubject) && certificate.CheckSignatureFrom(other) == nil {
			return other
		}
	}
	return nil
}

func selfIssued(c *x509.Certificate) bool { return bytes.Equal(c.RawIssuer, c.RawSubject) }

// usableAt reports why a key must not sign at a time.
func (k *Key) usableAt(at time.Time) error {
	c := k.Certificate
	const signing = x509.KeyUsageDigitalSignature | x509.KeyUsageContentCommitment
	switch {
	case at.Before(c.NotBefore) || at.After(c.NotAfter):
		return fmt.Errorf("the certificate of %s is valid from %s to %s, not on %s; sign with a valid one", nameOf(c),
			c.NotBefore.Format(time.DateOnly), c.NotAfter.Format(time.DateOnly), at.Format(time.DateOnly))
	case c.KeyUsage != 0 && c.KeyUsage&signing == 0:
		return fmt.Errorf("the certificate of %s is not meant for signatures; sign with one that is", nameOf(c))
	}
	return nil
}

// nameOf is the signer as a certificate calls them: the common name, else the
// whole subject.
func nameOf(c *x509.Certificate) string {
	if name := strings.TrimSpace(c.Subject.CommonName); name != "" {
		return name
	}
	return c.Subject.String()
}
