// Package signature signs a report and verifies the signatures of one.
//
// A signature is a PAdES baseline signature of level B-B (ETSI EN 319 142-1): a
// detached CMS message (RFC 5652) over every byte of the file but itself, with
// the signer's certificate bound to it (RFC 5035). It is added behind the file
// as an incremental update, so that the unsigned report stays its exact
// beginning.
//
// Verification is strict on purpose. It takes out of an update only what it
// cannot know (who signed, when, and the signature's value), writes the update
// anew and compares the bytes. What this package would not have written is not
// taken for a signature, so nothing can be hidden beside one.
package signature

import (
	"crypto"
	"crypto/rand"
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"time"
)

// Details are what a signer says beside the signature.
type Details struct {
	Time   time.Time // as the signer's clock had it; whole seconds, in UTC
	Reason string    // why it was signed, such as "authorised for release"; may be empty
	Place  string    // where; may be empty
}

// Signature is one signature of a document.
type Signature struct {
	Details
	Name        string              // the signer as the certificate calls them
	Certificate *x509.Certificate   // the signer's; nil where it cannot be read
	Chain       []*x509.Certificate // issuers, the nearest first, as far as the document carries them
	End         int                 // how many bytes of the document it covers, its own place left out
	Problem     error               // why it does not hold; nil where it does
}

// Fingerprint is the SHA-256 of the signer's certificate, hexadecimal; "" where
// there is none. It tells two certificates with the same names apart.
func (s *Signature) Fingerprint() string {
	if s.Certificate == nil {
		return ""
	}
	return hex.EncodeToString(digestOf(crypto.SHA256, s.Certificate.Raw))
}

// TrustedBy reports why the signer's certificate does not lead to one of the
// roots, at the time that the signer stated; nil where it does.
func (s *Signature) TrustedBy(roots *x509.CertPool) error {
	if s.Certificate == nil {
		return errors.New("there is no certificate of the signer")
	}
	between := x509.NewCertPool()
	for _, c := range s.Chain {
		between.AddCert(c)
	}
	_, err := s.Certificate.Verify(x509.VerifyOptions{Roots: roots, Intermediates: between, CurrentTime: s.Time,
		KeyUsages: []x509.ExtKeyUsage{x509.ExtKeyUsageAny}})
	return err
}

// Sign returns the document with a signature added. The document is the exact
// beginning of what is returned; it may carry signatures already.
func Sign(document []byte, key *Key, d Details) ([]byte, error) {
	d.Time = d.Time.UTC().Truncate(time.Second)
	if err := key.usableAt(d.Time); err != nil {
		return nil, err
	}
	scheme, err := schemeOf(key.Certificate)
	if err != nil {
		return nil, err
	}
	longest, err := assemble(key.Certificate, key.Chain, scheme, make([]byte, scheme.hash.Size()), make([]byte, scheme.longest))
	if err != nil {
		return nil, err
	}
	u, err := newUpdate(document, nameOf(key.Certificate), d, len(longest))
	if err != nil {
		return nil, fmt.Errorf("sign the document: %w", err)
	}
	content := u.digest(document, scheme.hash)
	attributes, err := signedAttributes(key.Certificate, key.Chain, content)
	if err != nil {
		return nil, err
	}
	value, err := key.signer.Sign(rand.Reader, digestOf(scheme.hash, attributes), scheme.hash)
	if err != nil {
		return nil, fmt.Errorf("sign the document: the key refuses: %w", err)
	}
	message, err := assemble(key.Certificate, key.Chain, scheme, content, value)
	if err != nil {
		return nil, err
	}
	if err := u.fill(message); err != nil {
		return nil, err
	}
	return append(document[:len(document):len(document)], u.data...), nil
}

// Read returns the signatures that were added behind the first end bytes of a
// document, in their order, and the number of bytes up to which it consists of
// them. What stands behind that number is no signature of this package.
func Read(document []byte, end int) (signatures []Signature, signed int) {
	for signed = end; signed < len(document); {
		s, ok := readOne(document, signed)
		if !ok {
			break
		}
		signatures = append(signatures, s)
		signed = s.End
	}
	return signatures, signed
}

// readOne reads the signature whose update begins at the offset.
func readOne(document []byte, begin int) (Signature, bool) {
	before := document[:begin]
	found, ok := findUpdate(document[begin:])
	if !ok {
		return Signature{}, false
	}
	u, err := newUpdate(before, found.name, found.Details, len(found.message))
	if err != nil || !u.sameBut(document[begin:]) {
		return Signature{}, false
	}
	s := Signature{Details: found.Details, Name: found.name, End: begin + len(u.data)}
	s.Problem = s.verify(before, u, found.message)
	return s, true
}

// verify fills in who signed and reports why the signature does not hold.
func (s *Signature) verify(before []byte, u *update, padded []byte) error {
	m, err := parseMessage(padded)
	if err != nil {
		return err
	}
	s.Certificate, s.Chain = m.signer, m.chain
	scheme, err := schemeOf(m.signer)
	if err != nil {
		return err
	}
	content := u.digest(before, scheme.hash)
	rebuilt, err := assemble(m.signer, m.chain, scheme, content, m.value)
	if err != nil {
		return err
	}
	attributes, err := signedAttributes(m.signer, m.chain, content)
	if err != nil {
		return err
	}
	if m.signer.CheckSignature(scheme.algorithm, attributes, m.value) != nil {
		return errors.New("the signature does not belong to these bytes and this certificate: one of them was changed after signing")
	}
	switch {
	case string(rebuilt) != string(m.raw):
		return errors.New("the signature is not written in the form that the program writes")
	case s.Name != nameOf(m.signer):
		return fmt.Errorf("the signature names %q, its certificate %q", s.Name, nameOf(m.signer))
	case s.Time.Before(m.signer.NotBefore) || s.Time.After(m.signer.NotAfter):
		return fmt.Errorf("the certificate was not valid at the stated time of signing, %s: it is valid from %s to %s",
			s.Time.Format(time.DateOnly), m.signer.NotBefore.Format(time.DateOnly), m.signer.NotAfter.Format(time.DateOnly))
	}
	return nil
}

// digestOf hashes the parts one after the other.
func digestOf(hash crypto.Hash, parts ...[]byte) []byte {
	h := hash.New()
	for _, part := range parts {
		h.Write(part)
	}
	return h.Sum(nil)
}
