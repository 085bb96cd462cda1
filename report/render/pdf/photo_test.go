package pdf

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// held is a JPEG of 4 × 2 pixels that says how its camera was held.
func held(t *testing.T, orientation byte, order string) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, image.NewGray(image.Rect(0, 0, 4, 2)), nil))
	directory := []byte("II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00")
	directory[18] = orientation
	if order == "MM" {
		directory = []byte("MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x00\x00\x00\x00\x00\x00\x00")
		directory[19] = orientation
	}
	block := append([]byte("Exif\x00\x00"), directory...)
	segment := append([]byte{0xFF, 0xE1, 0, byte(len(block) + 2)}, block...)
	data := b.Bytes()
	return append(append(append([]byte{}, data[:2]...), segment...), data[2:]...)
}

func TestPhotoSaysHowItIsTurnedUpright(t *testing.T) {
	for _, order := range []string{"II", "MM"} {
		for orientation, turn := range map[byte]int{1: 0, 3: 2, 6: 1, 8: 3} {
			p := readPhoto(held(t, orientation, order))
			require.NoError(t, p.err)
			assert.Equal(t, turn, p.turn, "%s %d", order, orientation)
		}
	}
}

// Editors of pictures put a block of metadata of the same kind before the one in
// which the camera says how it was held (shape of the blocks from memory).
func TestAPhotoIsTurnedThoughAnotherBlockComesFirst(t *testing.T) {
	other := []byte("http://ns.adobe.com/xap/1.0/\x00<x/>")
	segment := append([]byte{0xFF, 0xE1, 0, byte(len(other) + 2)}, other...)
	data := held(t, 6, "MM")
	data = append(append(append([]byte{}, data[:2]...), segment...), data[2:]...)
	p := readPhoto(data)
	require.NoError(t, p.err)
	assert.Equal(t, 1, p.turn)
}

func TestPhotoThatDoesNotSayIsUpright(t *testing.T) {
	said := func(place, wrong byte) []byte { // a description with another byte in it
		data := held(t, 6, "MM")
		data[12+place] = wrong
		return data
	}
	require.Equal(t, 1, orientation(said(19, 6)))
	for name, data := range map[string][]byte{
		"no block":                    {0xFF, 0xD8, 0xFF, 0xDA, 0, 2},
		"cut block":                   held(t, 6, "II")[:20],
		"empty":                       nil,
		"of no known way":             said(19, 9),
		"as text":                     said(13, 2),
		"a directory outside":         said(6, 0x7F),
		"a directory within the head": said(7, 0),
		"no JPEG":                     []byte("text that is long enough to be read"),
	} {
		assert.Zero(t, orientation(data), name)
	}
}

func TestJPEGIsTakenAsItIs(t *testing.T) {
	data := held(t, 1, "II")
	p := readPhoto(data)
	assert.Equal(t, data, p.image.Data)
	assert.Equal(t, "DeviceGray", p.image.ColourSpace)
}

func TestOtherPicturesAreRefused(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, gif.Encode(&b, image.NewPaletted(image.Rect(0, 0, 2, 2), color.Palette{color.Black}), nil))
	for name, data := range map[string][]byte{"another kind": b.Bytes(), "no picture": []byte("text"), "empty": nil, "cut JPEG": held(t, 1, "II")[:60]} {
		assert.Error(t, readPhoto(data).err, name)
	}
}

func TestPNGIsSetOnWhite(t *testing.T) {
	picture := image.NewNRGBA(image.Rect(0, 0, 1, 1))
	picture.Set(0, 0, color.NRGBA{0, 0, 0, 0})
	packed, err := samples(picture)
	require.NoError(t, err)
	white := image.NewNRGBA(image.Rect(0, 0, 1, 1))
	white.Set(0, 0, color.White)
	expected, err := samples(white)
	require.NoError(t, err)
	assert.Equal(t, expected, packed)
}

// A picture is bounded by the bytes that it takes, before it is decoded: the head
// of a PNG of 14,000 × 14,000 pixels of 16 bits, and nothing behind it.
func TestAPhotoIsBoundedByItsBytes(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewNRGBA64(image.Rect(0, 0, 1, 1))))
	head := b.Bytes()
	binary.BigEndian.PutUint32(head[16:], 14000)
	binary.BigEndian.PutUint32(head[20:], 14000)
	binary.BigEndian.PutUint32(head[29:], crc32.ChecksumIEEE(head[12:29]))
	assert.ErrorContains(t, readPhoto(head).err, "MB to be decoded")
	binary.BigEndian.PutUint32(head[16:], 20000)
	binary.BigEndian.PutUint32(head[29:], crc32.ChecksumIEEE(head[12:29]))
	assert.ErrorContains(t, readPhoto(head).err, "more than a report takes")

	// A JPEG in several scans (0xC2) of 6,500 × 6,500 pixels and four colours, whose
	// end is missing: 170 MB as a picture, and 850 MB while it is decoded.
	const frame, scan = "\xFF\xD8\xFF\xC2\x00\x14\x08\x19\x64\x19\x64\x04\x01\x11\x00\x02\x11\x00\x03\x11\x00\x04\x11\x00", "\xFF\xDA\x00\x0C0000000000"
	assert.ErrorContains(t, readPhoto([]byte(frame+scan)).err, "MB to be decoded")
	const three = "\xFF\xD8\xFF\xC2\x00\x11\x08\x19\x64\x19\x64\x03\x01\x11\x00\x02\x11\x00\x03\x11\x00" // 680 MB
	assert.ErrorContains(t, readPhoto([]byte(three+scan)).err, "its end is missing")
}

// FuzzPhoto reads pictures of unknown origin: whatever they hold, reading them ends
// with a picture or a reason.
func FuzzPhoto(f *testing.F) {
	var b bytes.Buffer
	require.NoError(f, png.Encode(&b, image.NewNRGBA64(image.Rect(0, 0, 3, 2))))
	f.Add(b.Bytes())
	var j bytes.Buffer
	require.NoError(f, jpeg.Encode(&j, image.NewGray(image.Rect(0, 0, 8, 8)), nil))
	f.Add(j.Bytes())
	f.Add([]byte("\xFF\xD8\xFF\xE1\x00\x1AExif\x00\x00II*\x00\x08\x00\x00\x00\xFF\xFF"))
	f.Fuzz(func(t *testing.T, data []byte) {
		p := readPhoto(data)
		if p.err == nil {
			assert.NotEmpty(t, p.image.Data)
			assert.Contains(t, []int{0, 1, 2, 3}, p.turn)
		}
	})
}
