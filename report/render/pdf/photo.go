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
	"io"

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

// orientation reads from a JPEG how its camera was held: the quarter turns to
// the right that bring the picture upright. A picture that does not say is taken
// to be upright.
func orientation(data []byte) int {
	block := exif(data)
	if len(block) < 14 || string(block[:6]) != "Exif\x00\x00" {
		return 0
	}
	block = block[6:]
	number := func(at, bytes int) int {
		if at < 0 || at+bytes > len(block) {
			return 0
		}
		n := 0
		for i := range bytes {
			k := at + i
			if block[0] == 'I' { // least significant byte first
				k = at + bytes - 1 - i
			}
			n = n<<8 | int(block[k])
		}
		return n
	}
	directory := number(4, 4)
	for i := range number(directory, 2) {
		const entry, orientationTag = 12, 0x0112
		at := directory + 2 + i*entry
		if number(at, 2) == orientationTag {
			return map[int]int{3: 2, 6: 1, 8: 3}[number(at+8, 2)]
		}
	}
	return 0
}

// exif returns the block of a JPEG in which cameras describe the picture. Other
// blocks of the same kind, such as one of metadata, may stand before it.
func exif(data []byte) []byte {
	r := bytes.NewReader(data)
	head := make([]byte, 4)
	if _, err := io.ReadFull(r, head[:2]); err != nil {
		return nil
	}
	for {
		if _, err := io.ReadFull(r, head); err != nil || head[0] != 0xFF || head[1] == 0xDA {
			return nil
		}
		length := int(head[2])<<8 | int(head[3])
		block := make([]byte, max(0, length-2))
		if _, err := io.ReadFull(r, block); err != nil {
			return nil
		}
		if head[1] == 0xE1 && bytes.HasPrefix(block, []byte("Exif\x00\x00")) {
			return block
		}
	}
}
