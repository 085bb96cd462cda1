package archive

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryDamagedByteIsFound(t *testing.T) {
	var b bytes.Buffer
	e := &editor{file: &file{objects: [][]byte{
		[]byte("<</Type /Catalog\n/Pages 3 0 R\n>>"), []byte("<</Title (a report)>>"),
		plainStream("/Type /Metadata", []byte("startxref\n9\n%%EOF")),
	}, root: 1, info: 2}}
	require.NoError(t, e.write(&b))
	whole := b.Bytes()
	require.NoError(t, Intact(whole))
	require.NoError(t, Intact(append(bytes.Clone(whole), "what was added later"...)))
	random := rand.New(rand.NewPCG(3, 4))
	for i := range whole {
		changed := bytes.Clone(whole)
		changed[i] ^= byte(1 + random.IntN(255))
		assert.Error(t, Intact(changed), "byte %d, %q", i, whole[max(0, i-9):min(len(whole), i+9)])
	}
	assert.ErrorContains(t, Intact(bytes.Replace(whole, []byte("a report"), []byte("another."), 1)), "identity")
	assert.Error(t, Intact(whole[:len(whole)-20]))
}
