package signature

import (
	"bytes"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rsa"
	_ "crypto/sha256" // the digests of the schemes
	_ "crypto/sha512"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/asn1"
	"errors"
	"fmt"
	"math/big"
	"sort"
)

// The CMS message is written here and not by a library, because those for Go
// write the time of signing as a signed attribute, which the baseline forbids:
// the time stands in the signature's dictionary.

var (
	oidData                 = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 1}
	oidSignedData           = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 7, 2}
	oidContentType          = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 3}
	oidMessageDigest        = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 4}
	oidSigningCertificateV2 = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 9, 16, 2, 47}
	oidSHA256               = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 1}
	oidSHA384               = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 2}
	oidSHA512               = asn1.ObjectIdentifier{2, 16, 840, 1, 101, 3, 4, 2, 3}
	oidSHA256WithRSA        = asn1.ObjectIdentifier{1, 2, 840, 113549, 1, 1, 11}
	oidECDSAWithSHA256      = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 2}
	oidECDSAWithSHA384      = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 3}
	oidECDSAWithSHA512      = asn1.ObjectIdentifier{1, 2, 840, 10045, 4, 3, 4}
)

// scheme is how a kind of key signs.
type scheme struct {
	algorithm x509.SignatureAlgorithm
	hash      crypto.Hash
	digest    pkix.AlgorithmIdentifier
	signature pkix.AlgorithmIdentifier
	longest   int // bytes of a signature's value
}

// smallestModulus is the least length of an RSA key that is accepted, in bits.
const smallestModulus = 2048

// schemeOf returns how the key of a certificate signs.
func schemeOf(c *x509.Certificate) (scheme, error) {
	identifier := func(oid asn1.ObjectIdentifier) pkix.AlgorithmIdentifier {
		return pkix.AlgorithmIdentifier{Algorithm: oid}
	}
	switch key := c.PublicKey.(type) {
	case *rsa.PublicKey:
		if key.N.BitLen() < smallestModulus {
			return scheme{}, fmt.Errorf("the RSA key of %s has %d bits; a signature that lasts needs at least %d", nameOf(c), key.N.BitLen(), smallestModulus)
		}
		withRSA := pkix.AlgorithmIdentifier{Algorithm: oidSHA256WithRSA, Parameters: asn1.NullRawValue}
		return scheme{x509.SHA256WithRSA, crypto.SHA256, identifier(oidSHA256), withRSA, key.Size()}, nil
	case *ecdsa.PublicKey:
		const overhead = 9 // of a sequence of two numbers, each perhaps with a leading zero
		longest := 2*((key.Curve.Params().BitSize+7)/8) + overhead
		switch key.Curve {
		case elliptic.P256():
			return scheme{x509.ECDSAWithSHA256, crypto.SHA256, identifier(oidSHA256), identifier(oidECDSAWithSHA256), longest}, nil
		case elliptic.P384():
			return scheme{x509.ECDSAWithSHA384, crypto.SHA384, identifier(oidSHA384), identifier(oidECDSAWithSHA384), longest}, nil
		case elliptic.P521():
			return scheme{x509.ECDSAWithSHA512, crypto.SHA512, identifier(oidSHA512), identifier(oidECDSAWithSHA512), longest}, nil
		}
	}
	return scheme{}, fmt.Errorf("the key of %s is neither RSA nor on one of the curves P-256, P-384 and P-521", nameOf(c))
}

// The parts of a message (RFC 5652, section 5).
type (
	contentInfo struct {
		Type    asn1.ObjectIdentifier
		Content asn1.RawValue
	}
	signedData struct {
		Version      int
		Digests      []pkix.AlgorithmIdentifier `asn1:"set"`
		Content      encapsulated
		Certificates asn1.RawValue
		Signers      []signerInfo `asn1:"set"`
	}
	encapsulated struct{ Type asn1.ObjectIdentifier }
	signerInfo   struct {
		Version    int
		Signer     issuerAndSerial
		Digest     pkix.AlgorithmIdentifier
		Attributes asn1.RawValue
		Algorithm  pkix.AlgorithmIdentifier
		Value      []byte
	}
	issuerAndSerial struct {
		Issuer asn1.RawValue
		Serial *big.Int
	}
	attribute struct {
		Type   asn1.ObjectIdentifier
		Values asn1.RawValue
	}
)

// tagged gives contents the context-specific tag 0.
func tagged(contents []byte) asn1.RawValue {
	return asn1.RawValue{Class: asn1.ClassContextSpecific, Tag: 0, IsCompound: true, Bytes: contents}
}

// signedAttributes returns what is signed: the digest of the document, and the
// certificates of signer and issuers, as a DER set.
func signedAttributes(signer *x509.Certificate, chain []*x509.Certificate, content []byte) ([]byte, error) {
	type certificateID struct{ Hash []byte } // SHA-256, the default, is not written
	type signingCertificate struct{ Certificates []certificateID }
	certificates := signingCertificate{[]certificateID{{digestOf(crypto.SHA256, signer.Raw)}}}
	for _, c := range chain {
		certificates.Certificates = append(certificates.Certificates, certificateID{digestOf(crypto.SHA256, c.Raw)})
	}
	var list []attribute
	for _, a := range []struct {
		oid   asn1.ObjectIdentifier
		value any
	}{
		{oidContentType, oidData},
		{oidMessageDigest, content},
		{oidSigningCertificateV2, certificates},
	} {
		value, err := asn1.Marshal(a.value)
		if err != nil {
			return nil, fmt.Errorf("write the signed attributes: %w", err)
		}
		list = append(list, attribute{a.oid, asn1.RawValue{Tag: asn1.TagSet, IsCompound: true, Bytes: value}})
	}
	return asn1.MarshalWithParams(list, "set")
}

// assemble writes the whole message in DER.
func assemble(signer *x509.Certificate, chain []*x509.Certificate, s scheme, content, value []byte) ([]byte, error) {
	attributes, err := signedAttributes(signer, chain, content)
	if err != nil {
		return nil, err
	}
	var set asn1.RawValue
	if _, err := asn1.Unmarshal(attributes, &set); err != nil {
		return nil, fmt.Errorf("write the signed attributes: %w", err)
	}
	data, err := asn1.Marshal(signedData{
		Version: 1, Digests: []pkix.AlgorithmIdentifier{s.digest}, Content: encapsulated{oidData},
		Certificates: tagged(certificateSet(signer, chain)),
		Signers: []signerInfo{{
			Version: 1, Signer: issuerAndSerial{asn1.RawValue{FullBytes: signer.RawIssuer}, signer.SerialNumber},
			Digest: s.digest, Attributes: tagged(set.Bytes), Algorithm: s.signature, Value: value,
		}},
	})
	if err != nil {
		return nil, fmt.Errorf("write the signature: %w", err)
	}
	return asn1.Marshal(contentInfo{oidSignedData, tagged(data)})
}

// certificateSet writes certificates in the order that DER gives a set.
func certificateSet(signer *x509.Certificate, chain []*x509.Certificate) []byte {
	all := [][]byte{signer.Raw}
	for _, c := range chain {
		all = append(all, c.Raw)
	}
	sort.Slice(all, func(i, j int) bool { return bytes.Compare(all[i], all[j]) < 0 })
	return bytes.Join(all, nil)
}

// message is what a message says that its reader cannot know.
type message struct {
	signer *x509.Certificate
	chain  []*x509.Certificate
	value  []byte
	raw    []byte // the message without what pads it
}

var errNoMessage = errors.New("the signature is damaged: its message cannot be read")

// parseMessage takes a message apart that is padded with zeros.
func parseMessage(padded []byte) (*message, error) {
	var outer contentInfo
	rest, err := asn1.Unmarshal(padded, &outer)
	if err != nil || len(bytes.Trim(rest, "\x00")) > 0 {
		return nil, errNoMessage
	}
	var data signedData
	if rest, err := asn1.Unmarshal(outer.Content.Bytes, &data); err != nil || len(rest) > 0 || len(data.Signers) != 1 {
		return nil, errNoMessage
	}
	certificates, err := x509.ParseCertificates(data.Certificates.Bytes)
	if err != nil {
		return nil, errNoMessage
	}
	m := &message{raw: padded[:len(padded)-len(rest)], value: data.Signers[0].Value}
	id := data.Signers[0].Signer
	for _, c := range certificates {
		if bytes.Equal(c.RawIssuer, id.Issuer.FullBytes) && c.SerialNumber.Cmp(id.Serial) == 0 {
			m.signer = c
		}
	}
	if m.signer == nil {
		return nil, errors.New("the signature does not carry the certificate of its signer")
	}
	if m.chain = chainOf(m.signer, certificates); len(m.chain)+1 != len(certificates) {
		return nil, errors.New("the signature carries certificates that do not belong to its signer, or were changed")
	}
	return m, nil
}
