package picture

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

func errorOf(data []byte) error {
	_, err := Read("a.jpg", data)
	return err
}

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
			p, err := Read("a.jpg", held(t, orientation, order))
			require.NoError(t, err)
			assert.Equal(t, turn, p.Turn, "%s %d", order, orientation)
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
	p, err := Read("a.jpg", data)
	require.NoError(t, err)
	assert.Equal(t, 1, p.Turn)
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
	p, err := Read("a.jpg", data)
	require.NoError(t, err)
	assert.Equal(t, data, p.JPEG)
	assert.True(t, p.Grey)
}

func TestOtherPicturesAreRefused(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, gif.Encode(&b, image.NewPaletted(image.Rect(0, 0, 2, 2), color.Palette{color.Black}), nil))
	for name, data := range map[string][]byte{"another kind": b.Bytes(), "no picture": []byte("text"), "empty": nil, "cut JPEG": held(t, 1, "II")[:60]} {
		assert.Error(t, errorOf(data), name)
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
	assert.ErrorContains(t, errorOf(head), "to be decoded")
	binary.BigEndian.PutUint32(head[16:], 20000)
	binary.BigEndian.PutUint32(head[29:], crc32.ChecksumIEEE(head[12:29]))
	assert.ErrorContains(t, errorOf(head), "more pixels than a report takes")

	// A JPEG in several scans (0xC2) of 6,500 × 6,500 pixels and four colours, whose
	// end is missing: 170 MB as a picture, and 850 MB while it is decoded.
	const frame, scan = "\xFF\xD8\xFF\xC2\x00\x14\x08\x19\x64\x19\x64\x04\x01\x11\x00\x02\x11\x00\x03\x11\x00\x04\x11\x00", "\xFF\xDA\x00\x0C0000000000"
	assert.ErrorContains(t, errorOf([]byte(frame+scan)), "its end is missing")
	assert.ErrorContains(t, errorOf([]byte(frame+scan+"\xFF\xD9")), "to be decoded")
	const three = "\xFF\xD8\xFF\xC2\x00\x11\x08\x19\x64\x19\x64\x03\x01\x11\x00\x02\x11\x00\x03\x11\x00" // 680 MB
	assert.ErrorContains(t, errorOf([]byte(three+scan)), "its end is missing")
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
		p, err := Read("a.jpg", data)
		if err == nil {
			assert.True(t, p.JPEG != nil || p.decoded != nil)
			assert.Contains(t, []int{0, 1, 2, 3}, p.Turn)
		}
	})
}

// What a file is that is no picture is said by its name.
func TestWhatIsNoPictureIsNamed(t *testing.T) {
	for data, want := range map[string]string{
		"":                             "an empty file",
		"%PDF-1.7\n":                   "a PDF file",
		"\xFF\xD8\xFF\xE0cut":          "a JPEG whose beginning cannot be read",
		"\x89PNG\r\n\x1a\ncut":         "a PNG whose beginning cannot be read",
		"RIFF\x00\x00\x00\x00WEBPVP8":  "a WebP picture",
		"\x00\x00\x00\x18ftypheic....": "a HEIC picture or a film",
		"<?xml version=\"1.0\"?>\n<!-- a > b -->\n<svg xmlns=\"http://www.w3.org/2000/svg\"/>": "an SVG drawing",
		"<svga/>": "a file of another kind",
		"text":    "a file of another kind",
	} {
		var problem *Problem
		require.ErrorAs(t, errorOf([]byte(data)), &problem, "%q", data)
		assert.Equal(t, "a.jpg: "+want, problem.Text.Part("found"), "%q", data)
	}
}

// A JPEG goes into the report as it is: bytes that were overwritten among its
// pixels or its tables are noticed here or nowhere.
func TestADamagedJPEGIsRefused(t *testing.T) {
	var b bytes.Buffer
	picture := image.NewGray(image.Rect(0, 0, 64, 64))
	for i := range picture.Pix {
		picture.Pix[i] = byte(i * i * 31)
	}
	require.NoError(t, jpeg.Encode(&b, picture, nil))
	good := b.Bytes()
	require.NoError(t, errorOf(good))
	require.NoError(t, errorOf(append(append([]byte{}, good...), "more, as some cameras write"...)), "behind its end anything may stand")

	scan := bytes.Index(good, []byte{0xFF, markScan})
	overwritten := append([]byte{}, good...)
	copy(overwritten[scan+100:], "\xFF\x01\xFF\x02")
	assert.Error(t, errorOf(append(append([]byte{}, good[:scan]...), 0xFF, markEnd)), "without pixels")
	for name, data := range map[string][]byte{
		"cut": good[:len(good)-2], "half": good[:len(good)/2], "overwritten": overwritten,
	} {
		assert.ErrorContains(t, errorOf(data), "the picture is damaged", name)
	}
}

func TestADamagedPNGIsRefused(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, image.NewNRGBA(image.Rect(0, 0, 30, 20))))
	data := b.Bytes()
	require.NoError(t, errorOf(data))
	assert.ErrorContains(t, errorOf(data[:len(data)-20]), "the picture is damaged")
	flipped := append([]byte{}, data...)
	flipped[len(data)-20] ^= 1
	assert.ErrorContains(t, errorOf(flipped), "the picture is damaged")
}
