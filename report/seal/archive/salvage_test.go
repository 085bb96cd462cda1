package archive

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// inAStream is a file whose objects but for the data stand packed in one stream,
// as programs write that save space.
func inAStream(t testing.TB) []byte {
	t.Helper()
	first := "<< /AFRelationship /Source /EF << /F 7 0 R /UF 7 0 R >> /F (a.csv) /Type /Filespec /UF (\\376\\377\\000a\\000\\)) >>"
	second := "<< /EF << /F 9 0 R >> /UF <FEFF 0062> >>"
	index := fmt.Sprintf("6 0 8 %d ", len(first)+1)
	packed, err := stream(fmt.Sprintf("/Type /ObjStm /N 2 /First %d", len(index)), []byte(index+first+" "+second))
	require.NoError(t, err)
	data, err := stream("/Type /EmbeddedFile", []byte("1,2"))
	require.NoError(t, err)
	var b bytes.Buffer
	fmt.Fprintf(&b, "%%PDF-1.5\n7 0 obj %s\nendobj\n9 0 obj\n<< /Length 10 0 R >>\nstream\nendobj 1\nendstream\nendobj\n3 0 obj\r\n%s\rendobj\n%%%%EOF", data, packed)
	return b.Bytes()
}

func TestAttachedFilesOfAnotherFormAreFound(t *testing.T) {
	files, err := Salvage(inAStream(t), 100)
	require.NoError(t, err)
	assert.Equal(t, []Attachment{{Name: "a)", Data: []byte("1,2")}, {Name: "b", Data: []byte("endobj 1")}}, files)

	files, err = Salvage(archived(t, attached), LargestFiles)
	require.NoError(t, err)
	require.Len(t, files, len(attached))
	for i, a := range attached {
		assert.Equal(t, a.Name, files[i].Name)
		assert.Equal(t, string(a.Data), string(files[i].Data))
	}
}

func TestWhatCannotBeSalvagedIsNamed(t *testing.T) {
	good := inAStream(t)
	swap := func(old, new string) []byte { return bytes.Replace(good, []byte(old), []byte(new), 1) }
	for says, data := range map[string][]byte{
		"the file is encrypted":                append(bytes.Clone(good), " trailer <</Encrypt 4 0 R>>"...),
		"attached file a): cannot be unpacked": swap("stream\nx", "stream\ny"),
		"packed in a way that is not read":     swap("/Type /EmbeddedFile /Filter /FlateDecode", "/Type /EmbeddedFile /Filter /LZWDecode"),
		"there are fewer than it says":         swap("/N 2 ", "/N 9999 "),
		"they begin behind its end":            swap("/First ", "/First 9"),
		"object 9 has no data":                 swap("9 0 obj", "5 0 obj"),
	} {
		_, err := Salvage(data, 100)
		assert.ErrorContains(t, err, says)
	}
	_, err := Salvage(good, 2)
	assert.ErrorContains(t, err, "larger when unpacked than the 2 bytes")
}

func FuzzSalvage(f *testing.F) {
	f.Add(inAStream(f))
	f.Add(small(f))
	f.Fuzz(func(t *testing.T, data []byte) {
		const limit = 1 << 20
		files, err := Salvage(data, limit)
		sum := 0
		for _, a := range files {
			sum += len(a.Data)
		}
		assert.LessOrEqual(t, sum, limit)
		assert.True(t, err == nil || files == nil)
	})
}
