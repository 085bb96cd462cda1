package archive

import (
	"bytes"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A picture may carry metadata of its own, plain to see before those of the report.
// What counts is what the catalog names.
func TestIdentityIsNotTakenFromAPicture(t *testing.T) {
	foreign := []byte("\xFF\xD8<x:xmpmeta xmlns:x=\"adobe:ns:meta/\"><CreatorTool>fieldheld 9</CreatorTool><identifier>other</identifier><type>draft of a test report</type></x:xmpmeta>\xFF\xD9")
	for _, draft := range []bool{false, true} {
		d := Document{Title: "t", Creator: "fieldheld 0.2.0", Producer: "fieldheld 0.2.0", Language: "en-GB",
			Date:     time.Date(2026, 11, 20, 0, 0, 0, 0, time.UTC),
			Identity: Identity{Name: "NT-0417, revision 0", Draft: draft, Evidence: "hashes", Digest: "4f2c"}}
		metadata := d.metadata()
		want := d.Identity
		want.Program = d.Creator
		is, found, err := identityIn(metadata)
		require.NoError(t, err)
		assert.True(t, found)
		assert.Equal(t, want, is)

		var b bytes.Buffer
		require.NoError(t, Write(&b, drawn(t), d, []Image{{Name: "Im1", Width: 1, Height: 1, ColourSpace: "DeviceRGB", Filter: "DCTDecode", Data: foreign}}, nil))
		require.Less(t, bytes.Index(b.Bytes(), foreign), bytes.Index(b.Bytes(), metadata[:40]), "the picture stands first")
		is, found, err = IdentityOf(b.Bytes())
		require.NoError(t, err)
		assert.True(t, found)
		assert.Equal(t, want, is)
	}
	_, found, err := identityIn([]byte(`<x:xmpmeta xmlns:x="adobe:ns:meta/"><CreatorTool>another</CreatorTool></x:xmpmeta>`))
	require.NoError(t, err)
	assert.False(t, found)
	_, _, err = IdentityOf([]byte("%PDF-1.7\nnothing"))
	assert.Error(t, err)
}
