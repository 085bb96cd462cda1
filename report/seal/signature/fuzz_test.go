package signature

import (
	"bytes"
	"crypto/elliptic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// FuzzSignature changes what stands behind a document. Nothing but the signature
// itself may hold there.
func FuzzSignature(f *testing.F) {
	unsigned := document(true)
	key := read(f, issue(f, nil, curveKey(f, elliptic.P256()), nil))
	signed, err := Sign(unsigned, key, Details{Time: today, Reason: "authorised for release"})
	require.NoError(f, err)
	genuine := signed[len(unsigned):]
	f.Add(genuine)
	f.Add(genuine[:len(genuine)/2])
	f.Add(append(bytes.Clone(genuine), genuine...))
	f.Fuzz(func(t *testing.T, added []byte) {
		list, end := Read(append(bytes.Clone(unsigned), added...), len(unsigned))
		assert.GreaterOrEqual(t, end, len(unsigned))
		for i, s := range list {
			// Each process of the fuzzer has a key of its own.
			if s.Problem == nil && bytes.Equal(s.Certificate.Raw, key.Certificate.Raw) {
				assert.Zero(t, i)
				assert.True(t, bytes.HasPrefix(added, genuine), "what holds is the genuine signature")
			}
		}
	})
}

// FuzzContinued reads a document that is not as this package wrote it.
func FuzzContinued(f *testing.F) {
	f.Add(document(true))
	f.Add(document(false))
	f.Add([]byte("xref\n0 999999999\ntrailer\nstartxref\n1\n%%EOF\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if r, err := open(data); err == nil {
			_, err = r.firstPage()
			assert.LessOrEqual(t, len(r.bodies), 3)
			_ = err // both answers are in order; that there is one is what is tested
		}
	})
}
