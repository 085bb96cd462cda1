package pdf

import (
	"bytes"
	"compress/zlib"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	_ "image/png" // photos may be PNG

	"github.com/bep/imagemeta"

	"fieldheld/report/render/layout"
	"fieldheld/report/seal/archive"
)

// photo is a photo ready for the page.
type photo struct {
	image archive.Image
	turn  int // quarter turns to the right that bring it upright
	err   error
}

// photoPages sets the photos that the job sheet names, two beside each other
// where they are upright.
func (b *book) photoPages() {
	photos := b.report.Sheet.Photos
	if len(photos) == 0 {
		return
	}
	b.Heading(layout.Heading{Level: 2, Text: "Photos"})
	for i := range photos {
		p := b.photo(photos[i].File)
		caption := list(". ", fmt.Sprintf("Photo %d", i+1), photos[i].Caption)
		if p.err != nil {
			b.Paragraph(fmt.Sprintf("%s: not shown, %s cannot be read (%v).", caption, photos[i].File, p.err))
			continue
		}
		p.image.Name = fmt.Sprintf("Photo%d", i+1)
		b.images = append(b.images, p.image)
		b.Picture(layout.Picture{Name: p.image.Name, Width: p.image.Width, Height: p.image.Height, Turn: p.turn}, caption)
	}
}

// photo returns the photo of a file. Its bytes are asked for once.
func (b *book) photo(file string) *photo {
	if p := b.photos[file]; p != nil {
		return p
	}
	p := &photo{}
	b.photos[file] = p
	if b.attachments.Photo == nil {
		p.err = errors.New("no photos were given")
		return p
	}
	data, err := b.attachments.Photo(file)
	if err != nil {
		p.err = err
		return p
	}
	*p = readPhoto(data)
	return p
}

// Bounds on photos: how many pixels one may have, and how many bytes it may take
// where it has to be decoded.
const (
	largestPhoto   = 200e6
	largestDecoded = 200 << 20
)

// decodedBytes is how many bytes a picture takes while it is decoded. A JPEG that
// comes in several scans is kept as its coefficients until the last of them.
func decodedBytes(config image.Config, data []byte) float64 {
	const coefficient = 4 // bytes, for each pixel and colour
	each, colours := 4.0, 3.0
	switch config.ColorModel {
	case color.RGBA64Model, color.NRGBA64Model:
		each = 8
	case color.Gray16Model:
		each = 2
	case color.GrayModel:
		each, colours = 1, 1
	case color.CMYKModel:
		colours = 4
	}
	if bytes.HasPrefix(data, []byte{0xFF, 0xD8}) && bytes.Contains(data, []byte{0xFF, 0xC2}) {
		each += coefficient * colours
	}
	return each * float64(config.Width) * float64(config.Height)
}

// readPhoto makes a photo ready: a JPEG is taken as it is, anything else is
// decoded to plain red, green and blue on white.
func readPhoto(data []byte) photo {
	config, kind, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil || kind != "jpeg" && kind != "png" {
		return photo{err: errors.New("it is neither a JPEG nor a PNG picture")}
	}
	if float64(config.Width)*float64(config.Height) > largestPhoto {
		return photo{err: fmt.Errorf("it has %d × %d pixels, more than a report takes", config.Width, config.Height)}
	}
	p := photo{image: archive.Image{Width: config.Width, Height: config.Height, ColourSpace: "DeviceRGB"}}
	if kind == "jpeg" && config.ColorModel != color.CMYKModel {
		if err := wholeJPEG(data); err != nil {
			return photo{err: fmt.Errorf("the picture is damaged: %w", err)}
		}
		p.image.Filter, p.image.Data, p.turn = "DCTDecode", data, orientation(data)
		if config.ColorModel == color.GrayModel {
			p.image.ColourSpace = "DeviceGray"
		}
		return p
	}
	if size := decodedBytes(config, data); size > largestDecoded {
		return photo{err: fmt.Errorf("it takes %.0f MB to be decoded, more than the %d MB that a report allows; save it with fewer pixels, or as JPEG", size/(1<<20), largestDecoded>>20)}
	}
	decoded, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return photo{err: fmt.Errorf("the picture is damaged: %w", err)}
	}
	p.image.Filter = "FlateDecode"
	p.image.Data, p.err = samples(decoded)
	return p
}

// wholeJPEG reports a JPEG that ends too early. One whose last bytes are its end
// mark is taken to be whole; any other is decoded to find out.
func wholeJPEG(data []byte) error {
	const tail = 64 // some cameras pad their files
	if bytes.Contains(data[max(0, len(data)-tail):], []byte{0xFF, 0xD9}) {
		return nil
	}
	config, err := jpeg.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return err
	}
	if decodedBytes(config, data) > largestDecoded {
		return errors.New("its end is missing")
	}
	_, err = jpeg.Decode(bytes.NewReader(data))
	return err
}

// samples returns the compressed red, green and blue of a picture on white.
func samples(picture image.Image) ([]byte, error) {
	var out bytes.Buffer
	z := zlib.NewWriter(&out)
	bounds := picture.Bounds()
	line := make([]byte, 0, 3*bounds.Dx())
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		line = line[:0]
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			r, g, b, a := picture.At(x, y).RGBA() // multiplied by a already
			paper := 0xFFFF - a
			line = append(line, byte((r+paper)>>8), byte((g+paper)>>8), byte((b+paper)>>8))
		}
		if _, err := z.Write(line); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return out.Bytes(), err
}

// turns are the quarter turns to the right that bring a picture upright, by what its
// camera writes about how it was held (Exif, tag 0x0112). Mirrored pictures, which no
// camera takes, stay as they are.
var turns = map[uint16]int{3: 2, 6: 1, 8: 3}

// orientation reads from a JPEG how its camera was held: the quarter turns to
// the right that bring the picture upright. A picture that does not say is taken
// to be upright, and so is one whose description cannot be read: a photo is shown
// and nothing is computed from it.
func orientation(data []byte) int {
	turn := 0
	_, _ = imagemeta.Decode(imagemeta.Options{
		R: bytes.NewReader(data), ImageFormat: imagemeta.JPEG, Sources: imagemeta.EXIF,
		ShouldHandleTag: func(tag imagemeta.TagInfo) bool { return tag.Namespace == "IFD0" && tag.Tag == "Orientation" },
		HandleTag: func(tag imagemeta.TagInfo) error {
			held, _ := tag.Value.(uint16)
			turn = turns[held]
			return imagemeta.ErrStopWalking
		},
	})
	return turn
}
